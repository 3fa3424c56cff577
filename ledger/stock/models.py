"""Bunch lines, bunching runs, batches, boxes, the stock book, holds and counts."""

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import F, Q
from django.db.models.functions import Coalesce
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from ledger.drying.models import Hanging
from ledger.facts.models import CostObject, Fact
from ledger.growing.models import Variety

from .queries import BatchQuerySet, BoxQuerySet, ContentQuerySet, HoldQuerySet, LineQuerySet, MovementQuerySet, RunQuerySet


class Line(models.Model):
    """What is sold: variety, colour, grade, finish and unit.

    `unit` says how it is counted: a bunch of `stems` stems, a weight of
    `grams` g, or a piece. Counts of a line are whole units of that size.
    """

    class Grade(models.TextChoices):
        FIRSTS = "firsts", _("firsts")
        SECONDS = "seconds", _("seconds")
        ODDMENTS = "oddments", _("oddments")

    class Finish(models.TextChoices):
        NATURAL = "natural", _("natural")
        BLEACHED = "bleached", _("bleached in the sun")
        DYED = "dyed", _("dyed")
        PRESERVED = "preserved", _("preserved")

    class Unit(models.TextChoices):
        BUNCH = "bunch", _("bunch")
        WEIGHT = "weight", _("weight")
        PIECE = "piece", _("piece")

    variety = models.ForeignKey(Variety, models.PROTECT, related_name="lines")
    colour = models.CharField(_("colour"), max_length=40, blank=True)
    grade = models.CharField(_("grade"), max_length=8, choices=Grade, default=Grade.FIRSTS)
    finish = models.CharField(_("finish"), max_length=9, choices=Finish, default=Finish.NATURAL)
    unit = models.CharField(_("sold by"), max_length=6, choices=Unit, default=Unit.BUNCH)
    stems = models.PositiveIntegerField(
        _("stems to the bunch"), null=True, blank=True, validators=[MinValueValidator(1), MaxValueValidator(1000)]
    )
    grams = models.PositiveIntegerField(
        _("grams to the unit"), null=True, blank=True, validators=[MinValueValidator(1), MaxValueValidator(100_000)]
    )

    objects = LineQuerySet.as_manager()

    class Meta:
        ordering = ["variety__species__name", "variety__name", "colour", "grade", "finish", "pk"]
        constraints = [
            models.CheckConstraint(condition=Q(grade__in=["firsts", "seconds", "oddments"]), name="line_grade_known"),
            models.CheckConstraint(
                condition=Q(finish__in=["natural", "bleached", "dyed", "preserved"]), name="line_finish_known"
            ),
            models.CheckConstraint(
                condition=Q(unit="bunch", stems__isnull=False, stems__gte=1, grams__isnull=True)
                | Q(unit="weight", grams__isnull=False, grams__gte=1, stems__isnull=True)
                | Q(unit="piece", grams__isnull=True, stems__isnull=True),
                name="line_unit_whole",
                violation_error_message=_("A bunch needs its stems, a weight its grams, a piece neither."),
            ),
            models.UniqueConstraint(
                "variety", "colour", "grade", "finish", "unit", Coalesce("stems", 0), Coalesce("grams", 0),
                name="line_once",
                violation_error_message=_("That line is already there."),
            ),
        ]

    def __str__(self) -> str:
        size = {"bunch": f"{self.stems} st", "weight": f"{self.grams} g", "piece": str(_("piece"))}[self.unit]
        parts = [str(self.variety), self.colour, self.get_grade_display()]
        if self.finish != self.Finish.NATURAL:
            parts.append(self.get_finish_display())
        return ", ".join(str(part) for part in [*parts, size] if part)

    def get_absolute_url(self) -> str:
        return reverse("stock:line", args=[self.pk])


class Run(Fact):
    """One bunching run: sound stems in, batches of lines out, the rest lost in bunching."""

    cost_object = models.OneToOneField(CostObject, models.PROTECT, primary_key=True, related_name="run")
    lost = models.PositiveIntegerField(_("stems lost in bunching"), default=0)
    note = models.CharField(_("note"), max_length=200, blank=True)

    objects = RunQuerySet.as_manager()

    class Meta(Fact.Meta):
        abstract = False

    def __str__(self) -> str:
        return str(_("Bunching run %(key)s of %(on)s")) % {"key": self.pk, "on": self.on}

    def get_absolute_url(self) -> str:
        return reverse("stock:run", args=[self.pk])


class RunInput(models.Model):
    """Sound stems of one hanging used by a run."""

    part_of = "run"
    run = models.ForeignKey(Run, models.PROTECT, related_name="inputs")
    hanging = models.ForeignKey(Hanging, models.PROTECT, related_name="run_inputs")
    stems = models.PositiveIntegerField(_("stems"), validators=[MinValueValidator(1)])

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.UniqueConstraint(fields=["run", "hanging"], name="run_input_once"),
            models.CheckConstraint(condition=Q(stems__gte=1), name="run_input_stems_positive"),
        ]


class Batch(Fact):
    """What one run made of one line: `made` units out of `stems` stems.

    `unit_value` is the sales value of one unit kept on the day of the split,
    less later cost, in minor units; None shares the run's cost by stems.
    `undone` together with its run only.
    """

    part_of = "run"
    run = models.ForeignKey(Run, models.PROTECT, related_name="batches")
    line = models.ForeignKey(Line, models.PROTECT, related_name="batches")
    made = models.PositiveIntegerField(_("bunches made"), validators=[MinValueValidator(1), MaxValueValidator(1_000_000)])
    stems = models.PositiveIntegerField(_("stems used"), validators=[MinValueValidator(1)])
    unit_value = models.PositiveBigIntegerField(_("value of one when split"), null=True, blank=True)

    objects = BatchQuerySet.as_manager()

    class Meta(Fact.Meta):
        abstract = False
        verbose_name_plural = _("batches")
        constraints = [
            *Fact.Meta.constraints,
            models.CheckConstraint(condition=Q(made__gte=1, stems__gte=1), name="batch_made_positive"),
            models.UniqueConstraint(
                fields=["run", "line"], condition=Q(undone_at__isnull=True), name="batch_line_once_a_run"
            ),
        ]

    def __str__(self) -> str:
        return str(_("%(line)s, batch %(key)s of %(on)s")) % {"line": self.line, "key": self.pk, "on": self.on}

    def get_absolute_url(self) -> str:
        return reverse("stock:batch", args=[self.pk])


class Box(models.Model):
    """A labelled box. `code`: four letters or digits and a check character (ISO 7064 mod 37,36).

    `serial` is what the code is made from. A parcel is the box an order is
    packed into; it leaves with its dispatch.
    """

    code = models.CharField(_("box"), max_length=5, unique=True)
    serial = models.PositiveIntegerField(unique=True)
    shelf = models.CharField(_("shelf"), max_length=40, blank=True)
    parcel = models.BooleanField(_("parcel of an order"), default=False)
    note = models.CharField(_("note"), max_length=120, blank=True)

    objects = BoxQuerySet.as_manager()

    class Meta:
        ordering = ["shelf", "code"]
        verbose_name_plural = _("boxes")

    def __str__(self) -> str:
        return self.code

    def get_absolute_url(self) -> str:
        return reverse("stock:box", args=[self.pk])


class Movement(Fact):
    """One row of the stock book: bunches of one batch in (+) or out (-) of one box.

    Append-only. `box` None: not yet boxed. `brings_back` names the outgoing
    row a return or cancellation brings back. Carries bunches, never money.
    """

    class Kind(models.TextChoices):
        MADE = "made", _("made")
        FOUND = "found", _("found")
        MOVED = "moved", _("moved")
        SOLD = "sold", _("sold")
        MADE_UP = "made_up", _("made up")
        DRAWN = "drawn", _("drawn")
        WRITTEN_OFF = "written_off", _("written off")
        RETURNED = "returned", _("returned")

    batch = models.ForeignKey(Batch, models.PROTECT, related_name="movements")
    box = models.ForeignKey(Box, models.PROTECT, null=True, blank=True, related_name="movements")
    kind = models.CharField(_("what happened"), max_length=11, choices=Kind)
    bunches = models.IntegerField(_("bunches"))
    reason = models.CharField(_("reason"), max_length=120, blank=True)
    to_check = models.BooleanField(_("to be checked"), default=False)
    brings_back = models.ForeignKey("self", models.PROTECT, null=True, blank=True, related_name="brought_back_by")

    objects = MovementQuerySet.as_manager()

    class Meta(Fact.Meta):
        abstract = False
        indexes = [models.Index(fields=["batch", "on", "id"]), models.Index(fields=["box", "on"])]
        constraints = [
            *Fact.Meta.constraints,
            models.CheckConstraint(
                condition=Q(kind__in=["made", "found", "returned"], bunches__gt=0)
                | Q(kind__in=["sold", "made_up", "drawn", "written_off"], bunches__lt=0)
                | (Q(kind="moved") & ~Q(bunches=0)),
                name="movement_sign_fits_kind",
            ),
        ]

    def __str__(self) -> str:
        return str(_("%(bunches)+d %(kind)s, %(batch)s")) % {
            "bunches": self.bunches, "kind": self.get_kind_display(), "batch": self.batch,
        }

    def get_absolute_url(self) -> str:
        return reverse("stock:movement", args=[self.pk])


class Content(models.Model):
    """Running figure: bunches of a batch in a box now (box None: not yet boxed)."""

    box = models.ForeignKey(Box, models.PROTECT, null=True, blank=True, related_name="contents")
    batch = models.ForeignKey(Batch, models.PROTECT, related_name="contents")
    bunches = models.IntegerField(default=0)

    objects = ContentQuerySet.as_manager()

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.CheckConstraint(
                condition=Q(bunches__gte=0), name="content_not_below_zero",
                violation_error_message=_("There are not that many in it."),
            ),
            models.UniqueConstraint(fields=["box", "batch"], condition=Q(box__isnull=False), name="content_once_a_box"),
            models.UniqueConstraint(fields=["batch"], condition=Q(box__isnull=True), name="content_unboxed_once"),
        ]


class Balance(models.Model):
    """Running figure: bunches of a line on hand and held for promises now."""

    line = models.OneToOneField(Line, models.PROTECT, primary_key=True, related_name="balance")
    on_hand = models.IntegerField(default=0)
    held = models.IntegerField(default=0)

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=Q(held__gte=0, held__lte=F("on_hand")), name="balance_held_within_on_hand",
                violation_error_message=_("More would be held than there is."),
            ),
        ]

    @property
    def free(self) -> int:
        """Bunches on hand that nobody was promised."""
        return self.on_hand - self.held


class Hold(Fact):
    """Bunches of a line kept for a promise; what it keeps now is the sum of its changes."""

    line = models.ForeignKey(Line, models.PROTECT, related_name="holds")
    for_what = models.CharField(_("for"), max_length=120)

    objects = HoldQuerySet.as_manager()

    class Meta(Fact.Meta):
        abstract = False

    def __str__(self) -> str:
        return str(_("%(line)s kept for %(what)s")) % {"line": self.line, "what": self.for_what}

    def get_absolute_url(self) -> str:
        return reverse("stock:hold", args=[self.pk])


class HoldChange(Fact):
    """A change of what a hold keeps.

    promised (+), used (-) when sent, released (-) when given back, short (-)
    when stock it rested on is gone, refilled (+) when it could be filled again.
    """

    class Why(models.TextChoices):
        PROMISED = "promised", _("promised")
        USED = "used", _("sent")
        RELEASED = "released", _("given back")
        SHORT = "short", _("left short")
        REFILLED = "refilled", _("filled again")

    part_of = "hold"
    hold = models.ForeignKey(Hold, models.PROTECT, related_name="changes")
    bunches = models.IntegerField(_("bunches"))
    why = models.CharField(max_length=8, choices=Why)

    class Meta(Fact.Meta):
        abstract = False
        constraints = [
            *Fact.Meta.constraints,
            models.CheckConstraint(
                condition=Q(why__in=["promised", "refilled"], bunches__gt=0)
                | Q(why__in=["used", "released", "short"], bunches__lt=0),
                name="hold_change_sign_fits",
            ),
        ]


class StockCount(Fact):
    """A stock-take of one box: its lines say what was found beside the record."""

    box = models.ForeignKey(Box, models.PROTECT, related_name="counts")
    note = models.CharField(_("note"), max_length=200, blank=True)

    class Meta(Fact.Meta):
        abstract = False

    def __str__(self) -> str:
        return str(_("Count of box %(box)s, %(on)s")) % {"box": self.box, "on": self.on}

    def get_absolute_url(self) -> str:
        return reverse("stock:count", args=[self.pk])


class CountLine(models.Model):
    """One batch counted: `recorded` by the ledger, `counted` by hand; the movement that made it right."""

    part_of = "count"
    count = models.ForeignKey(StockCount, models.PROTECT, related_name="lines")
    batch = models.ForeignKey(Batch, models.PROTECT, related_name="count_lines")
    recorded = models.PositiveIntegerField()
    counted = models.PositiveIntegerField()
    movement = models.OneToOneField(Movement, models.PROTECT, null=True, blank=True, related_name="count_line")

    class Meta:
        ordering = ["pk"]
        constraints = [models.UniqueConstraint(fields=["count", "batch"], name="count_line_once")]
