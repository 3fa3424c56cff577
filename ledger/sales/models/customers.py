"""Customers."""

from django.db import models
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from ledger.sales.queries.sets import CustomerQuerySet


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
