"""What a stall day needs besides its sales: boxes taken along and back, the tin, and what the card company paid out."""

from django.core.validators import MinValueValidator
from django.db import models
from django.db.models import F, Q
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from ledger.daybook.models import Purchase
from ledger.facts.models import Fact
from ledger.growing.models import Parting
from ledger.pricing.models import Way
from ledger.stock.models import Box, Movement, StockCount

from .retail import StallDay


class TinCount(Fact):
    """Cash in the tin before the first sale (the float) or after the last, minor units."""

    class When(models.TextChoices):
        BEFORE = "before", _("before the first sale")
        AFTER = "after", _("after the last sale")

    stall_day = models.ForeignKey(StallDay, models.PROTECT, related_name="tin_counts")
    when = models.CharField(_("when"), max_length=6, choices=When)
    amount = models.PositiveBigIntegerField(_("cash in the tin"))
    note = models.CharField(_("note"), max_length=120, blank=True)

    class Meta(Fact.Meta):
        abstract = False
        constraints = [
            *Fact.Meta.constraints,
            models.CheckConstraint(condition=Q(when__in=["before", "after"]), name="tin_count_when_known"),
            models.UniqueConstraint(
                fields=["stall_day", "when"], condition=Q(undone_at__isnull=True), name="tin_count_once",
                violation_error_message=_("That is counted already; undo it to count anew."),
            ),
        ]

    def __str__(self) -> str:
        return str(_("Tin of %(day)s")) % {"day": self.stall_day}

    def get_absolute_url(self) -> str:
        return self.stall_day.get_absolute_url()


class StallLoad(Fact):
    """A box taken along to a stall day; what is in it stays on hand and is sold from it first."""

    stall_day = models.ForeignKey(StallDay, models.PROTECT, related_name="loads")
    box = models.ForeignKey(Box, models.PROTECT, related_name="stall_loads")

    class Meta(Fact.Meta):
        abstract = False
        constraints = [
            *Fact.Meta.constraints,
            models.UniqueConstraint(
                fields=["stall_day", "box"], condition=Q(undone_at__isnull=True), name="stall_load_once",
                violation_error_message=_("That box is loaded already."),
            ),
        ]

    def __str__(self) -> str:
        return str(_("Box %(box)s loaded for %(day)s")) % {"box": self.box, "day": self.stall_day}

    def get_absolute_url(self) -> str:
        return self.stall_day.get_absolute_url()


class StallBack(Fact):
    """What came back from a stall day, put away in one step: boxes counted, bunches and stems hung or thrown out."""

    stall_day = models.ForeignKey(StallDay, models.PROTECT, related_name="backs")

    class Meta(Fact.Meta):
        abstract = False
        constraints = [
            *Fact.Meta.constraints,
            models.UniqueConstraint(
                fields=["stall_day"], condition=Q(undone_at__isnull=True), name="stall_back_once",
                violation_error_message=_("What came back is put away already; undo that to do it anew."),
            ),
        ]

    def __str__(self) -> str:
        return str(_("Back from %(day)s")) % {"day": self.stall_day}

    def get_absolute_url(self) -> str:
        return self.stall_day.get_absolute_url()


class StallBackRow(models.Model):
    """One thing done with what came back: a count of a box, a row of the stock book, or stems of a lot parted."""

    part_of = "back"
    back = models.ForeignKey(StallBack, models.PROTECT, related_name="rows")
    count = models.OneToOneField(StockCount, models.PROTECT, null=True, blank=True, related_name="stall_back_row")
    movement = models.OneToOneField(Movement, models.PROTECT, null=True, blank=True, related_name="stall_back_row")
    parting = models.OneToOneField(Parting, models.PROTECT, null=True, blank=True, related_name="stall_back_row")

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.CheckConstraint(
                condition=Q(count__isnull=False, movement__isnull=True, parting__isnull=True)
                | Q(count__isnull=True, movement__isnull=False, parting__isnull=True)
                | Q(count__isnull=True, movement__isnull=True, parting__isnull=False),
                name="stall_back_row_of_one_thing",
            ),
        ]


class CardPayout(Fact):
    """What the card company paid out for the card sales of one way on some days: `gross` less `fee`, minor units.

    `on` is the day the money came; `purchase` enters the fee as a cost (NULL: no fee).
    """

    way = models.ForeignKey(Way, models.PROTECT, related_name="card_payouts")
    first_day = models.DateField(_("first day of sale"))
    last_day = models.DateField(_("last day of sale"))
    gross = models.PositiveBigIntegerField(_("card sales it says"), validators=[MinValueValidator(1)])
    fee = models.PositiveBigIntegerField(_("fee kept"), default=0)
    purchase = models.OneToOneField(Purchase, models.PROTECT, null=True, blank=True, related_name="card_payout")

    class Meta(Fact.Meta):
        abstract = False
        constraints = [
            *Fact.Meta.constraints,
            models.CheckConstraint(
                condition=Q(first_day__lte=F("last_day")), name="card_payout_days_in_order",
                violation_error_message=_("The first day cannot come after the last."),
            ),
            models.CheckConstraint(
                condition=Q(fee__lt=F("gross")), name="card_payout_fee_below_gross",
                violation_error_message=_("A fee is less than what it is taken from."),
            ),
        ]

    def __str__(self) -> str:
        return str(_("Card payout of %(on)s")) % {"on": self.on}

    def get_absolute_url(self) -> str:
        return reverse("sales:card_payout", args=[self.pk])

    @property
    def net(self) -> int:
        """What came to the bank."""
        return self.gross - self.fee
