"""Workshops: places sold, held on a day or called off."""

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import F, Q
from django.urls import reverse
from django.utils.translation import gettext_lazy as _
from django.utils.translation import ngettext

from ledger.facts.models import CostObject, Fact
from ledger.pricing.models import Way
from ledger.sales.queries.workshop_sets import WorkshopQuerySet

from .customers import Customer
from .jobs import MOST_PRICE
from .retail import Sale

MOST_PLACES = 500


class Workshop(Fact):
    """A day on which people pay to make something; entered on a day, held on that or a later one.

    `price` of one place is as the way keeps prices, minor units. What the places brought in is income of the day it is held.
    """

    cost_object = models.OneToOneField(CostObject, models.PROTECT, primary_key=True, related_name="workshop")
    name = models.CharField(_("name"), max_length=80)
    way = models.ForeignKey(Way, models.PROTECT, related_name="workshops")
    held_on = models.DateField(_("day of the workshop"))
    places = models.PositiveIntegerField(_("places"), validators=[MinValueValidator(1), MaxValueValidator(MOST_PLACES)])
    price = models.PositiveBigIntegerField(_("price of a place"), validators=[MaxValueValidator(MOST_PRICE)])
    note = models.CharField(_("note"), max_length=400, blank=True)

    objects = WorkshopQuerySet.as_manager()

    class Meta(Fact.Meta):
        abstract = False
        constraints = [
            *Fact.Meta.constraints,
            models.CheckConstraint(condition=Q(places__gte=1), name="workshop_some_places"),
            models.CheckConstraint(
                condition=Q(held_on__gte=F("on")), name="workshop_not_before_entered",
                violation_error_message=_("A workshop cannot be before the day it was offered."),
            ),
        ]

    def __str__(self) -> str:
        return str(_("%(name)s, %(on)s")) % {"name": self.name, "on": self.held_on}

    def get_absolute_url(self) -> str:
        return reverse("sales:workshop", args=[self.pk])


class PlacesSold(Fact):
    """Places of a workshop sold at one price each (minor units as the way keeps it); the money is owed until it is held."""

    workshop = models.ForeignKey(Workshop, models.PROTECT, related_name="places_sold")
    places = models.PositiveIntegerField(_("places"), validators=[MinValueValidator(1), MaxValueValidator(MOST_PLACES)])
    price = models.PositiveBigIntegerField(_("price of a place"), validators=[MaxValueValidator(MOST_PRICE)])
    customer = models.ForeignKey(Customer, models.PROTECT, null=True, blank=True, related_name="places_sold")
    who = models.CharField(_("who"), max_length=80, blank=True)
    paid = models.CharField(_("paid by"), max_length=8, choices=Sale.Paid, default=Sale.Paid.CASH)

    class Meta(Fact.Meta):
        abstract = False
        verbose_name_plural = _("places sold")
        constraints = [
            *Fact.Meta.constraints,
            models.CheckConstraint(condition=Q(places__gte=1), name="places_sold_some"),
            models.CheckConstraint(condition=Q(paid__in=["cash", "card", "transfer"]), name="places_sold_paid_known"),
        ]

    def __str__(self) -> str:
        says = ngettext("%(places)d place, %(workshop)s", "%(places)d places, %(workshop)s", self.places)
        return says % {"places": self.places, "workshop": self.workshop}

    def get_absolute_url(self) -> str:
        return self.workshop.get_absolute_url()

    @property
    def amount(self) -> int:
        """All of them, minor units as the way keeps its prices."""
        return self.places * self.price


class WorkshopCalledOff(Fact):
    """A workshop that will not be held; every place is given back with it."""

    workshop = models.ForeignKey(Workshop, models.PROTECT, related_name="called_off")
    why = models.CharField(_("why"), max_length=200, blank=True)

    class Meta(Fact.Meta):
        abstract = False
        verbose_name_plural = _("workshops called off")
        constraints = [
            *Fact.Meta.constraints,
            models.UniqueConstraint(
                fields=["workshop"], condition=Q(undone_at__isnull=True), name="workshop_called_off_once",
                violation_error_message=_("That workshop is called off already."),
            ),
        ]

    def __str__(self) -> str:
        return str(_("%(workshop)s called off")) % {"workshop": self.workshop}

    def get_absolute_url(self) -> str:
        return self.workshop.get_absolute_url()


class PlacesGivenBack(Fact):
    """Places a buyer gave back, and how much money went back for all of them (minor units); what was not stays income."""

    sold = models.ForeignKey(PlacesSold, models.PROTECT, related_name="given_back")
    places = models.PositiveIntegerField(_("places"), validators=[MinValueValidator(1), MaxValueValidator(MOST_PLACES)])
    returned = models.PositiveBigIntegerField(_("money given back"), validators=[MaxValueValidator(MOST_PRICE)])
    called_off = models.ForeignKey(WorkshopCalledOff, models.PROTECT, null=True, blank=True, related_name="given_back")

    class Meta(Fact.Meta):
        abstract = False
        verbose_name_plural = _("places given back")
        constraints = [
            *Fact.Meta.constraints,
            models.CheckConstraint(condition=Q(places__gte=1), name="places_given_back_some"),
        ]

    def __str__(self) -> str:
        says = ngettext("%(places)d place given back, %(workshop)s", "%(places)d places given back, %(workshop)s", self.places)
        return says % {"places": self.places, "workshop": self.sold.workshop}

    def get_absolute_url(self) -> str:
        return self.sold.workshop.get_absolute_url()


class WorkshopHeld(Fact):
    """A workshop held on that day: its places are income of the day; `rate_bp` the tax rate."""

    workshop = models.ForeignKey(Workshop, models.PROTECT, related_name="holdings")
    rate_bp = models.PositiveIntegerField(default=0)

    class Meta(Fact.Meta):
        abstract = False
        verbose_name_plural = _("workshops held")
        constraints = [
            *Fact.Meta.constraints,
            models.UniqueConstraint(
                fields=["workshop"], condition=Q(undone_at__isnull=True), name="workshop_held_once",
                violation_error_message=_("That workshop was held already."),
            ),
        ]

    def __str__(self) -> str:
        return str(_("%(workshop)s held")) % {"workshop": self.workshop}

    def get_absolute_url(self) -> str:
        return self.workshop.get_absolute_url()
