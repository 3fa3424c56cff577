"""Money spent, what it was spent on, and what space costs in a year."""

from django.core.validators import MinValueValidator
from django.db import models
from django.db.models import F, Q
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from ledger.facts.models import CostKind, CostObject, Fact

from ..queries import PurchaseQuerySet


class Purchase(Fact):
    """A bill or receipt from one supplier; its lines say what was bought."""

    supplier = models.CharField(_("supplier"), max_length=120)
    reference = models.CharField(_("reference on the bill"), max_length=60, blank=True)

    objects = PurchaseQuerySet.as_manager()

    class Meta(Fact.Meta):
        abstract = False

    def __str__(self) -> str:
        return str(_("%(supplier)s, %(on)s")) % {"supplier": self.supplier, "on": self.on}

    def get_absolute_url(self) -> str:
        return reverse("daybook:purchase", args=[self.pk])


class PurchaseLine(models.Model):
    """One line of a purchase, in minor units.

    `tax_comes_back` is the seller's status on the day, kept with the line: cost
    is net, plus tax unless it comes back. A bill may cover a stretch of days
    (`covers_from` up to and including `covers_to`), else its own day. `quantity`
    is how many units came of the material that the line buys, NULL where it
    buys none.
    """

    part_of = "purchase"
    purchase = models.ForeignKey(Purchase, models.PROTECT, related_name="lines")
    description = models.CharField(_("what was bought"), max_length=120)
    kind = models.ForeignKey(CostKind, models.PROTECT, related_name="purchase_lines", verbose_name=_("kind of cost"))
    net = models.PositiveBigIntegerField(_("net"))
    tax = models.PositiveBigIntegerField(_("tax"), default=0)
    tax_comes_back = models.BooleanField(_("tax comes back"), default=False)
    covers_from = models.DateField(_("covers from"), null=True, blank=True)
    covers_to = models.DateField(_("covers to and including"), null=True, blank=True)
    quantity = models.PositiveIntegerField(_("how many"), null=True, blank=True, validators=[MinValueValidator(1)])

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.CheckConstraint(
                condition=Q(covers_from__isnull=True, covers_to__isnull=True)
                | Q(covers_from__isnull=False, covers_to__isnull=False, covers_to__gte=F("covers_from")),
                name="purchase_line_stretch_whole",
                violation_error_message=_("A stretch needs a first and a last day, in that order."),
            ),
            models.CheckConstraint(
                condition=Q(quantity__isnull=True) | Q(quantity__gte=1),
                name="purchase_line_quantity_positive",
                violation_error_message=_("At least one, please."),
            ),
        ]

    def __str__(self) -> str:
        return self.description

    @property
    def cost(self) -> int:
        """What the line costs the holding, in minor units."""
        return self.net if self.tax_comes_back else self.net + self.tax


class PurchaseShare(models.Model):
    """The part of a purchase line borne by one thing, by whole-number weight."""

    part_of = "purchase"
    purchase = models.ForeignKey(Purchase, models.PROTECT, related_name="shares")
    line = models.ForeignKey(PurchaseLine, models.PROTECT, related_name="shares")
    spent_on = models.ForeignKey(CostObject, models.PROTECT, related_name="purchase_shares")
    weight = models.PositiveBigIntegerField(default=1, validators=[MinValueValidator(1)])

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.UniqueConstraint(fields=["line", "spent_on"], name="purchase_share_once"),
            models.CheckConstraint(condition=Q(weight__gte=1), name="purchase_share_weight_positive"),
        ]


class YearOfSpace(Fact):
    """What a plot or drying place is expected to cost in one books' year, and its normal use.

    `normal_unit_days`: room x days in a normal year (a plot: hundredths of m2 x
    days; a place: its own unit x days), winter rest and preparation allowed
    for; `normal_source` says where that figure comes from.
    """

    space = models.ForeignKey(CostObject, models.PROTECT, related_name="years_of_space")
    year = models.PositiveSmallIntegerField(_("year (in which it ends)"))
    expected_cost = models.PositiveBigIntegerField(_("expected cost of the year"))
    normal_unit_days = models.PositiveBigIntegerField(_("normal use"), default=0)
    normal_source = models.CharField(_("where the normal use comes from"), max_length=200, blank=True)

    class Meta(Fact.Meta):
        abstract = False
        constraints = [
            *Fact.Meta.constraints,
            models.UniqueConstraint(
                fields=["space", "year"],
                condition=Q(undone_at__isnull=True),
                name="year_of_space_once",
                violation_error_message=_("That year is already entered; undo it to enter it anew."),
            ),
        ]

    @property
    def normal_m2_days(self) -> str:
        """A plot's normal use in m2-days, a place's in its own unit x days."""
        return f"{self.normal_unit_days / 100:.2f}" if self.space.kind == "plot" else str(self.normal_unit_days)

    def __str__(self) -> str:
        return str(_("%(space)s in %(year)d")) % {"space": self.space, "year": self.year}

    @property
    def space_url(self) -> str:
        """The page of the plot or drying place itself."""
        return reverse("growing:plot" if self.space.kind == "plot" else "drying:place", args=[self.space_id])

    def get_absolute_url(self) -> str:
        return reverse("daybook:years_of_space")
