"""Boxes, what is in them now, and those held back."""

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import F, Q
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from ledger.facts.models import Fact
from ledger.stock.queries.sets import BoxQuerySet, ContentQuerySet, HeldBackQuerySet

from .runs import Batch


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


class ShelfRoom(Fact):
    """For how many bunches a shelf has room, from a day on; the latest standing one of its name holds."""

    shelf = models.CharField(_("shelf"), max_length=40)
    bunches = models.PositiveIntegerField(_("bunches"), validators=[MinValueValidator(1), MaxValueValidator(100_000)])

    class Meta(Fact.Meta):
        abstract = False
        verbose_name_plural = _("room on shelves")
        constraints = [
            *Fact.Meta.constraints,
            models.CheckConstraint(condition=Q(bunches__gte=1), name="shelf_room_some"),
        ]

    def __str__(self) -> str:
        return str(_("Shelf %(shelf)s: room for %(bunches)d")) % {"shelf": self.shelf, "bunches": self.bunches}

    def get_absolute_url(self) -> str:
        return reverse("stock:shelves")


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


class HeldBack(Fact):
    """A box kept out of what is offered, promised and picked, from its day up to and including `until`, with the reason."""

    box = models.ForeignKey(Box, models.PROTECT, related_name="held_backs")
    until = models.DateField(_("until"))
    why = models.CharField(_("why"), max_length=120)

    objects = HeldBackQuerySet.as_manager()

    class Meta(Fact.Meta):
        abstract = False
        constraints = [
            *Fact.Meta.constraints,
            models.CheckConstraint(
                condition=Q(until__gte=F("on")), name="held_back_until_not_before",
                violation_error_message=_("It is held back until a day not before the first."),
            ),
        ]

    def __str__(self) -> str:
        return str(_("Box %(box)s held back until %(until)s: %(why)s")) % {
            "box": self.box, "until": self.until, "why": self.why,
        }

    def get_absolute_url(self) -> str:
        return self.box.get_absolute_url()


class LetGo(Fact):
    """A box held back that is let go before its time, from this day on."""

    held_back = models.ForeignKey(HeldBack, models.PROTECT, related_name="let_gos")

    class Meta(Fact.Meta):
        abstract = False
        constraints = [
            *Fact.Meta.constraints,
            models.UniqueConstraint(
                fields=["held_back"], condition=Q(undone_at__isnull=True), name="let_go_once",
                violation_error_message=_("It has been let go already."),
            ),
        ]

    def __str__(self) -> str:
        return str(_("Box %(box)s let go %(on)s")) % {"box": self.held_back.box, "on": self.on}

    def get_absolute_url(self) -> str:
        return self.held_back.get_absolute_url()
