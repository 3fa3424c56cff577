"""The holding: one row, with its dated tax status and rates."""

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from .fact import Fact

STOCK_METHODS = [
    ("traced", _("traced to the batch")),
    ("fifo", _("first in, first out")),
    ("moving-average", _("moving average")),
    ("periodic-average", _("average of the period")),
]


class Holding(models.Model):
    """The one holding this ledger belongs to.

    `year_end_month` and `year_end_day` end its books' year; a season takes its
    name from the calendar year of `season_first_month`.
    """

    name = models.CharField(_("name of the holding"), max_length=120)
    address = models.TextField(_("address"), blank=True)
    currency = models.CharField(_("currency (ISO 4217)"), max_length=3)
    time_zone = models.CharField(_("time zone"), max_length=64)
    year_end_month = models.PositiveSmallIntegerField(
        _("year ends in month"), default=12, validators=[MinValueValidator(1), MaxValueValidator(12)]
    )
    year_end_day = models.PositiveSmallIntegerField(
        _("year ends on day"), default=31, validators=[MinValueValidator(1), MaxValueValidator(31)]
    )
    season_first_month = models.PositiveSmallIntegerField(
        _("season begins in month"), default=1, validators=[MinValueValidator(1), MaxValueValidator(12)]
    )
    stock_method = models.CharField(
        _("stock method of the accounts"),
        max_length=20,
        default="fifo",
        choices=STOCK_METHODS,
    )
    cost_object = models.OneToOneField("facts.CostObject", models.PROTECT, related_name="as_holding")
    store = models.OneToOneField("facts.CostObject", models.PROTECT, related_name="as_store")

    class Meta:
        constraints = [
            models.CheckConstraint(condition=Q(pk=1), name="holding_only_one"),
            models.CheckConstraint(
                condition=Q(year_end_month__range=(1, 12), year_end_day__range=(1, 31), season_first_month__range=(1, 12)),
                name="holding_year_within_calendar",
            ),
        ]

    def __str__(self) -> str:
        return self.name


class TaxStatus(Fact):
    """What the seller is towards sales tax from a day on.

    `addition_bp` is the flat-rate farmer's addition in hundredths of a per cent.
    """

    class Status(models.TextChoices):
        NONE = "none", _("not registered")
        REGISTERED = "registered", _("registered")
        FLAT_RATE = "flat_rate", _("flat-rate farmer")

    status = models.CharField(_("tax status"), max_length=10, choices=Status)
    number = models.CharField(_("registration number"), max_length=30, blank=True)
    addition_bp = models.PositiveIntegerField(_("flat-rate addition (hundredths of a per cent)"), default=0)

    class Meta(Fact.Meta):
        abstract = False
        constraints = [
            *Fact.Meta.constraints,
            models.CheckConstraint(
                condition=Q(status__in=["none", "registered", "flat_rate"]), name="tax_status_known"
            ),
        ]

    def __str__(self) -> str:
        return self.get_status_display()


class TaxRate(Fact):
    """A tax rate from a day on, in hundredths of a per cent (2000 is 20 %)."""

    code = models.SlugField(_("code"), max_length=12, default="standard")
    rate_bp = models.PositiveIntegerField(_("rate (hundredths of a per cent)"))

    class Meta(Fact.Meta):
        abstract = False
        constraints = [
            *Fact.Meta.constraints,
            models.CheckConstraint(condition=Q(rate_bp__lte=10_000), name="tax_rate_within_whole"),
        ]

    def __str__(self) -> str:
        return f"{self.code} {self.rate_bp // 100}.{self.rate_bp % 100:02d} %"
