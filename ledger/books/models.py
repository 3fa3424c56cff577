"""Closed years: what closing froze; and how few stems are too few to judge by."""

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import Q
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from ledger.facts.models import Fact
from ledger.stock.models import Batch, Line


class YearClose(Fact):
    """The books closed up to and including `on`, the last day of year `year`."""

    year = models.PositiveSmallIntegerField(_("year"))
    method = models.CharField(_("stock method"), max_length=20)
    closing_cost = models.BigIntegerField()
    write_down = models.BigIntegerField(default=0)

    class Meta(Fact.Meta):
        abstract = False
        constraints = [
            *Fact.Meta.constraints,
            models.UniqueConstraint(fields=["year"], condition=Q(undone_at__isnull=True), name="year_closed_once"),
        ]

    def __str__(self) -> str:
        return str(_("Close of %(year)d")) % {"year": self.year}


class ClosedPlace(models.Model):
    """What one node of the path held in one place of the proof when the year closed, in millionths.

    `node` is the cost book's key; `dated`: it came there with an event of a
    closed day (sold, written off), else it was merely held. `paid` is money
    spent, `full` includes unpaid hours at their notional rate; `quantity`
    stems or bunches.
    """

    part_of = "close"
    close = models.ForeignKey(YearClose, models.PROTECT, related_name="places")
    place = models.CharField(max_length=30)
    node = models.CharField(max_length=40)
    dated = models.BooleanField(default=False)
    quantity = models.BigIntegerField(default=0)
    paid = models.BigIntegerField()
    full = models.BigIntegerField()

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["close", "place", "node", "dated"], name="closed_place_once"),
        ]


class ClosedLine(models.Model):
    """One line's stock at the close by one method, in millionths."""

    part_of = "close"
    close = models.ForeignKey(YearClose, models.PROTECT, related_name="lines")
    line = models.ForeignKey(Line, models.PROTECT, related_name="+")
    method = models.CharField(max_length=20)
    quantity = models.BigIntegerField()
    cost = models.BigIntegerField()
    write_down = models.BigIntegerField(default=0)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["close", "line", "method"], name="closed_line_once"),
        ]


class ClosedBatch(models.Model):
    """One batch's quantity and traced stock cost at the close, in millionths."""

    part_of = "close"
    close = models.ForeignKey(YearClose, models.PROTECT, related_name="batches")
    batch = models.ForeignKey(Batch, models.PROTECT, related_name="+")
    quantity = models.BigIntegerField()
    cost = models.BigIntegerField()

    class Meta:
        constraints = [models.UniqueConstraint(fields=["close", "batch"], name="closed_batch_once")]


class LeastStems(Fact):
    """Below so many stems cut in a season a planting is not ranked, from a day on."""

    stems = models.PositiveIntegerField(
        _("fewest stems to judge by"), validators=[MinValueValidator(1), MaxValueValidator(1_000_000)]
    )

    class Meta(Fact.Meta):
        abstract = False
        constraints = [
            *Fact.Meta.constraints,
            models.CheckConstraint(condition=Q(stems__gte=1), name="least_stems_positive"),
        ]

    def __str__(self) -> str:
        return str(_("At least %(stems)d stems from %(on)s")) % {"stems": self.stems, "on": self.on}

    def get_absolute_url(self) -> str:
        return reverse("books:earnings")
