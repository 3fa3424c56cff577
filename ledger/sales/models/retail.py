"""Stall days and retail sales, dried from boxes and fresh from lots."""

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import F, Q
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from ledger.facts.models import CostObject, Fact
from ledger.growing.models import Parting
from ledger.pricing.models import Offer, Way
from ledger.sales.queries.sets import SaleQuerySet, StallDayQuerySet
from ledger.stock.models import Line, Movement, Run

from .customers import Customer


class StallDay(Fact):
    """A market day: what it cost (pitch, hours) is spent on it and shared over its sales."""

    cost_object = models.OneToOneField(CostObject, models.PROTECT, primary_key=True, related_name="stall_day")
    name = models.CharField(_("name"), max_length=80)
    way = models.ForeignKey(Way, models.PROTECT, related_name="stall_days")

    objects = StallDayQuerySet.as_manager()

    class Meta(Fact.Meta):
        abstract = False

    def __str__(self) -> str:
        return str(_("%(name)s, %(on)s")) % {"name": self.name, "on": self.on}

    def get_absolute_url(self) -> str:
        return reverse("sales:stall_day", args=[self.pk])


class Sale(Fact):
    """One retail sale by one way of selling.

    `rate_bp`: the tax rate on the day, kept. Prices are with tax when the way
    keeps them so. `paid`: how the money came. `rework`: the run that put
    damaged bunches down to seconds for this sale, undone with it.
    """

    class Paid(models.TextChoices):
        CASH = "cash", _("cash")
        CARD = "card", _("card")
        TRANSFER = "transfer", _("transfer")

    cost_object = models.OneToOneField(CostObject, models.PROTECT, primary_key=True, related_name="sale")
    way = models.ForeignKey(Way, models.PROTECT, related_name="sales")
    stall_day = models.ForeignKey(StallDay, models.PROTECT, null=True, blank=True, related_name="sales")
    customer = models.ForeignKey(Customer, models.PROTECT, null=True, blank=True, related_name="sales")
    rate_bp = models.PositiveIntegerField(default=0)
    paid = models.CharField(_("paid by"), max_length=8, choices=Paid, default=Paid.CASH)
    note = models.CharField(_("note"), max_length=120, blank=True)
    rework = models.OneToOneField(Run, models.PROTECT, null=True, blank=True, related_name="sale_as_seconds")

    objects = SaleQuerySet.as_manager()

    class Meta(Fact.Meta):
        abstract = False
        constraints = [
            *Fact.Meta.constraints,
            models.CheckConstraint(condition=Q(paid__in=["cash", "card", "transfer"]), name="sale_paid_known"),
        ]

    def __str__(self) -> str:
        return str(_("Sale %(key)s of %(on)s")) % {"key": self.pk, "on": self.on}

    def get_absolute_url(self) -> str:
        return reverse("sales:sale", args=[self.pk])


class SaleLine(models.Model):
    """Bunches of one line, or of stems of one lot sold fresh (`parting`), at one price each (minor units).

    Fresh bunches are all of as many stems (`stems_each`, one where stems were sold singly). `off`: what an offer took
    off the whole line, minor units. `why`: the reason for another price than the list's.
    """

    part_of = "sale"
    sale = models.ForeignKey(Sale, models.PROTECT, related_name="lines")
    line = models.ForeignKey(Line, models.PROTECT, null=True, blank=True, related_name="sale_lines")
    parting = models.OneToOneField(Parting, models.PROTECT, null=True, blank=True, related_name="sale_line")
    quantity = models.PositiveIntegerField(_("how many"), validators=[MinValueValidator(1), MaxValueValidator(100_000)])
    price = models.PositiveBigIntegerField(_("price of one"))
    off = models.PositiveBigIntegerField(_("off by an offer"), default=0)
    offer = models.ForeignKey(Offer, models.PROTECT, null=True, blank=True, related_name="sale_lines")
    why = models.CharField(_("why at that price"), max_length=120, blank=True)

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.CheckConstraint(
                condition=Q(line__isnull=False, parting__isnull=True) | Q(line__isnull=True, parting__isnull=False),
                name="sale_line_dried_or_fresh",
            ),
            models.CheckConstraint(condition=Q(quantity__gte=1), name="sale_line_quantity_positive"),
            models.CheckConstraint(condition=Q(off__lte=F("quantity") * F("price")), name="sale_line_off_within_amount"),
            models.CheckConstraint(condition=Q(off=0) | Q(offer__isnull=False), name="sale_line_off_has_offer"),
        ]

    def __str__(self) -> str:
        return str(self.line or self.parting)

    @property
    def amount(self) -> int:
        """Quantity times price less what an offer took off, as the price is kept (with or without tax)."""
        return self.quantity * self.price - self.off

    @property
    def stems_each(self) -> int:
        """Stems in each of what was sold fresh, nil where it is no fresh line."""
        return self.parting.stems // self.quantity if self.parting else 0


class SaleTaking(models.Model):
    """One row of the stock book that a sale line took."""

    part_of = "sale"
    sale = models.ForeignKey(Sale, models.PROTECT, related_name="takings")
    line = models.ForeignKey(SaleLine, models.PROTECT, related_name="takings")
    movement = models.OneToOneField(Movement, models.PROTECT, related_name="sale_taking")
