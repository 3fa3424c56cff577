"""The stock book and the counts that put it right."""

from django.db import models
from django.db.models import Q
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from ledger.facts.models import Fact, label_of
from ledger.stock.queries.sets import MovementQuerySet

from .boxes import Box
from .runs import Batch, Run


class Movement(Fact):
    """One row of the stock book: bunches of one batch in (+) or out (-) of one box.

    Append-only. `box` None: not yet boxed. `brings_back` names the outgoing
    row a return or cancellation brings back; `run` the run that used the
    bunches. Carries bunches, never money.
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
    run = models.ForeignKey(Run, models.PROTECT, null=True, blank=True, related_name="drawn")

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
            models.CheckConstraint(condition=Q(run__isnull=True) | Q(kind="made_up"), name="movement_of_run_made_up"),
        ]

    def __str__(self) -> str:
        return str(_("%(bunches)+d %(kind)s, %(batch)s")) % {
            "bunches": self.bunches, "kind": self.get_kind_display(), "batch": self.batch,
        }

    def get_absolute_url(self) -> str:
        return reverse("stock:movement", args=[self.pk])

    @property
    def happened(self) -> str:
        """What happened, in words; of what left for a job or workshop, or came back, which it was."""
        if self.kind == self.Kind.SOLD and (row := getattr(self, "taken_row", None)):
            return str(_("taken for %(work)s")) % {"work": row.taken.work}
        if self.kind == self.Kind.RETURNED and (row := getattr(self, "came_back_row", None)):
            return str(_("came back from %(work)s")) % {"work": row.came_back.taken.work}
        return label_of(self.Kind, self.kind)

    @property
    def used(self) -> int:
        """How many went out by it."""
        return -self.bunches


class StockCount(Fact):
    """What was counted in one box, its lines beside the record.

    `take_end`: the stock-take that put it into the book. Only then can `box` be NULL: what was not yet boxed.
    """

    box = models.ForeignKey(Box, models.PROTECT, null=True, blank=True, related_name="counts")
    take_end = models.ForeignKey("stock.TakeEnd", models.PROTECT, null=True, blank=True, related_name="counts")
    note = models.CharField(_("note"), max_length=200, blank=True)

    class Meta(Fact.Meta):
        abstract = False
        constraints = [
            *Fact.Meta.constraints,
            models.CheckConstraint(condition=Q(box__isnull=False) | Q(take_end__isnull=False), name="count_of_box_or_take"),
        ]

    def __str__(self) -> str:
        if self.box is None:
            return str(_("Count of what is not boxed, %(on)s")) % {"on": self.on}
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
