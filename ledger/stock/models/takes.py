"""Stock-takes over a shelf or a line, counted box by box and posted together, and boxes repacked."""

from django.db import models
from django.db.models import Q
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from ledger.facts.models import Fact
from ledger.stock.queries.sets import StockTakeQuerySet, TakeCountedQuerySet

from .book import Movement
from .boxes import Box
from .lines import Line
from .runs import Batch


class StockTake(Fact):
    """A stock-take begun: of one shelf, of one line wherever it lies, or of everything (neither).

    `shown`: whether those who count see what the record says. Nothing is put right until it is ended.
    """

    shelf = models.CharField(_("shelf"), max_length=40, blank=True)
    line = models.ForeignKey(Line, models.PROTECT, null=True, blank=True, related_name="stock_takes")
    shown = models.BooleanField(_("figures shown"), default=False)
    note = models.CharField(_("note"), max_length=200, blank=True)

    objects = StockTakeQuerySet.as_manager()

    class Meta(Fact.Meta):
        abstract = False
        constraints = [
            *Fact.Meta.constraints,
            models.CheckConstraint(
                condition=Q(line__isnull=True) | Q(shelf=""), name="stock_take_of_shelf_or_line",
                violation_error_message=_("Count a shelf or a line, not both at once."),
            ),
        ]

    def __str__(self) -> str:
        return str(_("Stock-take of %(what)s, %(on)s")) % {
            "what": self.line or self.shelf or _("everything"), "on": self.on,
        }

    def get_absolute_url(self) -> str:
        return reverse("stock:take", args=[self.pk])


class TakeCounted(Fact):
    """A batch counted in a box (None: not yet boxed) for a stock-take.

    `recorded` is what the record said at that moment, so that what moves afterwards changes no difference.
    """

    part_of = "take"
    take = models.ForeignKey(StockTake, models.PROTECT, related_name="counted")
    box = models.ForeignKey(Box, models.PROTECT, null=True, blank=True, related_name="take_counted")
    batch = models.ForeignKey(Batch, models.PROTECT, related_name="take_counted")
    recorded = models.PositiveIntegerField(_("in the record"))
    counted = models.PositiveIntegerField(_("counted"))

    objects = TakeCountedQuerySet.as_manager()

    class Meta(Fact.Meta):
        abstract = False
        constraints = [
            *Fact.Meta.constraints,
            models.UniqueConstraint(
                fields=["take", "box", "batch"], condition=Q(undone_at__isnull=True, box__isnull=False),
                name="take_counted_once_a_box",
            ),
            models.UniqueConstraint(
                fields=["take", "batch"], condition=Q(undone_at__isnull=True, box__isnull=True), name="take_counted_unboxed_once"
            ),
        ]

    def __str__(self) -> str:
        return str(_("%(n)d of %(batch)s counted")) % {"n": self.counted, "batch": self.batch}

    def get_absolute_url(self) -> str:
        return self.take.get_absolute_url()

    @property
    def over(self) -> int:
        """How many more were counted than recorded; below zero: missing."""
        return self.counted - self.recorded


class TakeEnd(Fact):
    """A stock-take put into the book: its counts (`StockCount.take_end`) stand and are undone with it."""

    take = models.ForeignKey(StockTake, models.PROTECT, related_name="ends")

    class Meta(Fact.Meta):
        abstract = False
        constraints = [
            *Fact.Meta.constraints,
            models.UniqueConstraint(
                fields=["take"], condition=Q(undone_at__isnull=True), name="take_ended_once",
                violation_error_message=_("It has been put into the book already."),
            ),
        ]

    def __str__(self) -> str:
        return str(_("%(take)s put into the book")) % {"take": self.take}

    def get_absolute_url(self) -> str:
        return self.take.get_absolute_url()


class Repacking(Fact):
    """Bunches put from boxes into other boxes as one step: a box split, boxes put together, a box emptied."""

    class What(models.TextChoices):
        SPLIT = "split", _("split")
        TOGETHER = "together", _("put together")
        EMPTIED = "emptied", _("emptied")

    what = models.CharField(_("what was done"), max_length=8, choices=What)
    box = models.ForeignKey(Box, models.PROTECT, related_name="repackings")

    class Meta(Fact.Meta):
        abstract = False
        constraints = [
            *Fact.Meta.constraints,
            models.CheckConstraint(condition=Q(what__in=["split", "together", "emptied"]), name="repacking_what_known"),
        ]

    def __str__(self) -> str:
        return str(_("Box %(box)s %(what)s, %(on)s")) % {"box": self.box, "what": self.get_what_display(), "on": self.on}

    def get_absolute_url(self) -> str:
        return self.box.get_absolute_url()

    @property
    def goes_to(self) -> Box | None:
        """The box into which the bunches were put; None where the box was emptied."""
        rows = [row.movement for row in self.rows.all()]  # type: ignore[attr-defined]
        return next((row.box for row in rows if row.bunches > 0), None)


class RepackedRow(models.Model):
    """One row of the stock book that a repacking made."""

    part_of = "repacking"
    repacking = models.ForeignKey(Repacking, models.PROTECT, related_name="rows")
    movement = models.OneToOneField(Movement, models.PROTECT, related_name="repacked_row")

    class Meta:
        ordering = ["pk"]
