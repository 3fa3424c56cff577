"""Ways of selling with their dated terms, and dated prices."""

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import Q
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from ledger.facts.models import Fact
from ledger.stock.models import Line

from .queries import PriceQuerySet, WayQuerySet


class Way(models.Model):
    """A way of selling; `with_tax`: its prices are kept with tax (retail), else net (trade)."""

    name = models.CharField(_("name"), max_length=60, unique=True)
    with_tax = models.BooleanField(_("prices are with tax"), default=True)
    trade = models.BooleanField(_("to trade customers on order"), default=False)

    objects = WayQuerySet.as_manager()

    class Meta:
        ordering = ["pk"]
        verbose_name_plural = _("ways")

    def __str__(self) -> str:
        return self.name

    def get_absolute_url(self) -> str:
        return reverse("pricing:way", args=[self.pk])


class WayTerms(Fact):
    """What selling this way costs from a day on, and the margin wanted.

    `fee_bp`: fees on takings with tax; `margin_bp`: margin wanted on net; both
    in hundredths of a per cent. `fixed_day` (pitch, hours) and `usual_takings`
    are those of one day of that way, minor units; `ending` is the house price
    ending in minor units (50: prices end in .50), None for none.
    """

    way = models.ForeignKey(Way, models.PROTECT, related_name="terms")
    fee_bp = models.PositiveIntegerField(
        _("fees on takings (hundredths of a per cent)"), default=0, validators=[MaxValueValidator(9_999)]
    )
    fixed_day = models.PositiveBigIntegerField(_("fixed cost of a day"), default=0)
    usual_takings = models.PositiveBigIntegerField(_("usual takings of a day"), default=0)
    margin_bp = models.PositiveIntegerField(
        _("margin wanted (hundredths of a per cent)"), default=3000, validators=[MaxValueValidator(9_999)]
    )
    ending = models.PositiveIntegerField(_("price ending"), null=True, blank=True)

    class Meta(Fact.Meta):
        abstract = False
        constraints = [
            *Fact.Meta.constraints,
            models.CheckConstraint(condition=Q(fee_bp__lt=10_000, margin_bp__lt=10_000), name="way_terms_below_whole"),
            models.CheckConstraint(
                condition=Q(fixed_day=0) | Q(usual_takings__gt=0),
                name="way_terms_fixed_needs_takings",
                violation_error_message=_("A fixed cost of a day needs the usual takings of a day to be shared on."),
            ),
        ]

    def __str__(self) -> str:
        return str(_("Terms of %(way)s from %(on)s")) % {"way": self.way, "on": self.on}

    def get_absolute_url(self) -> str:
        return self.way.get_absolute_url()


class Price(Fact):
    """The price of one unit of a line by one way of selling from a day on, minor units."""

    way = models.ForeignKey(Way, models.PROTECT, related_name="prices")
    line = models.ForeignKey(Line, models.PROTECT, related_name="prices")
    amount = models.PositiveBigIntegerField(_("price"), validators=[MinValueValidator(1)])

    objects = PriceQuerySet.as_manager()

    class Meta(Fact.Meta):
        abstract = False
        indexes = [models.Index(fields=["line", "way", "on"])]
        constraints = [
            *Fact.Meta.constraints,
            models.CheckConstraint(condition=Q(amount__gte=1), name="price_positive"),
        ]

    def __str__(self) -> str:
        return str(_("%(line)s, %(way)s from %(on)s")) % {"line": self.line, "way": self.way, "on": self.on}

    def get_absolute_url(self) -> str:
        return reverse("pricing:line", args=[self.line_id])
