"""Customers, and the prices one of them has of its own."""

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import Q
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from ledger.facts.models import Fact
from ledger.pricing.models import Way
from ledger.sales.queries.sets import CustomerPriceQuerySet, CustomerQuerySet
from ledger.stock.models import Line


class Customer(models.Model):
    """A customer; `blanked_at`: their personal details were removed on request."""

    name = models.CharField(_("name"), max_length=120)
    trade = models.BooleanField(_("trade customer"), default=True)
    contact = models.CharField(_("contact"), max_length=120, blank=True)
    email = models.EmailField(_("e-mail"), blank=True)
    address = models.TextField(_("address"), blank=True)
    tax_number = models.CharField(_("tax registration number"), max_length=30, blank=True)
    days_to_pay = models.PositiveSmallIntegerField(_("days to pay"), default=30)
    blanked_at = models.DateTimeField(null=True, blank=True, editable=False)

    objects = CustomerQuerySet.as_manager()

    class Meta:
        ordering = ["name", "pk"]

    def __str__(self) -> str:
        return self.name

    def get_absolute_url(self) -> str:
        return reverse("sales:customer", args=[self.pk])


class CustomerPrice(Fact):
    """One customer's own price of a line by a way, from a day on, minor units as the way keeps its prices.

    `at_least`: for so many or more at once; NULL `amount`: the price list holds again.
    """

    customer = models.ForeignKey(Customer, models.PROTECT, related_name="own_prices")
    way = models.ForeignKey(Way, models.PROTECT, related_name="own_prices")
    line = models.ForeignKey(Line, models.PROTECT, related_name="own_prices")
    at_least = models.PositiveIntegerField(
        _("for so many or more"), default=1, validators=[MinValueValidator(1), MaxValueValidator(100_000)]
    )
    amount = models.PositiveBigIntegerField(_("own price"), null=True, blank=True, validators=[MinValueValidator(1)])

    objects = CustomerPriceQuerySet.as_manager()

    class Meta(Fact.Meta):
        abstract = False
        indexes = [models.Index(fields=["customer", "line", "way", "at_least", "on"])]
        constraints = [
            *Fact.Meta.constraints,
            models.CheckConstraint(condition=Q(amount__isnull=True) | Q(amount__gte=1), name="customer_price_positive"),
            models.CheckConstraint(condition=Q(at_least__gte=1), name="customer_price_step_positive"),
        ]

    def __str__(self) -> str:
        return str(_("%(line)s for %(customer)s from %(on)s")) % {"line": self.line, "customer": self.customer, "on": self.on}

    def get_absolute_url(self) -> str:
        return self.customer.get_absolute_url()
