"""Drying places, what the instruments said in them, and when they are damp again."""

from decimal import Decimal

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import Q
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from ledger.facts.models import CostObject, Fact

from ..queries import PlaceQuerySet, ReadingQuerySet

COLDEST, HOTTEST = -400, 700


class Place(models.Model):
    """A drying place with its own unit of room (hooks, metres, racks, crates)."""

    class Unit(models.TextChoices):
        HOOKS = "hooks", _("hooks")
        METRES = "metres", _("metres")
        RACKS = "racks", _("racks")
        CRATES = "crates", _("crates")

    cost_object = models.OneToOneField(CostObject, models.PROTECT, primary_key=True, related_name="place")
    name = models.CharField(_("name"), max_length=80, unique=True)
    unit = models.CharField(_("unit of room"), max_length=8, choices=Unit, default=Unit.HOOKS)
    room = models.PositiveIntegerField(_("room in all"), validators=[MinValueValidator(1), MaxValueValidator(100_000)])

    objects = PlaceQuerySet.as_manager()

    class Meta:
        ordering = ["name", "pk"]
        constraints = [
            models.CheckConstraint(condition=Q(unit__in=["hooks", "metres", "racks", "crates"]), name="place_unit_known"),
            models.CheckConstraint(condition=Q(room__gte=1), name="place_room_positive"),
        ]

    def __str__(self) -> str:
        return self.name

    def get_absolute_url(self) -> str:
        return reverse("drying:place", args=[self.pk])


class Reading(Fact):
    """What a thermometer or hygrometer said in a drying place; either may be missing.

    The temperature is in tenths of a degree Celsius, the relative humidity in
    whole per cent; `at` is the time of day, None where nobody noted it.
    """

    place = models.ForeignKey(Place, models.PROTECT, related_name="readings")
    at = models.TimeField(_("time"), null=True, blank=True)
    temperature_tenths_c = models.SmallIntegerField(
        _("temperature (tenths of a degree C)"), null=True, blank=True,
        validators=[MinValueValidator(COLDEST), MaxValueValidator(HOTTEST)],
    )
    humidity_percent = models.PositiveSmallIntegerField(
        _("humidity (%)"), null=True, blank=True, validators=[MaxValueValidator(100)]
    )

    objects = ReadingQuerySet.as_manager()

    class Meta(Fact.Meta):
        abstract = False
        constraints = [
            *Fact.Meta.constraints,
            models.CheckConstraint(
                condition=Q(temperature_tenths_c__isnull=False) | Q(humidity_percent__isnull=False),
                name="reading_says_something",
                violation_error_code="says_nothing",
                violation_error_message=_("Enter the temperature, the humidity or both."),
            ),
            models.CheckConstraint(
                condition=Q(temperature_tenths_c__isnull=True) | Q(temperature_tenths_c__range=(COLDEST, HOTTEST)),
                name="reading_temperature_plausible",
            ),
            models.CheckConstraint(
                condition=Q(humidity_percent__isnull=True) | Q(humidity_percent__lte=100), name="reading_humidity_within_whole"
            ),
        ]

    def __str__(self) -> str:
        return str(_("reading of %(place)s %(on)s")) % {"place": self.place, "on": self.on}

    def get_absolute_url(self) -> str:
        return self.place.get_absolute_url()

    @property
    def temperature_c(self) -> Decimal | None:
        """The temperature in degrees Celsius."""
        return None if self.temperature_tenths_c is None else Decimal(self.temperature_tenths_c).scaleb(-1)


class DampLimit(Fact):
    """The relative humidity, in whole per cent, above which a place counts as damp again, from a day on."""

    humidity_percent = models.PositiveSmallIntegerField(
        _("humidity (%)"), validators=[MinValueValidator(1), MaxValueValidator(100)]
    )

    class Meta(Fact.Meta):
        abstract = False
        constraints = [
            *Fact.Meta.constraints,
            models.CheckConstraint(condition=Q(humidity_percent__range=(1, 100)), name="damp_limit_within_whole"),
        ]

    def __str__(self) -> str:
        return str(_("damp above %(humidity)d %%")) % {"humidity": self.humidity_percent}

    def get_absolute_url(self) -> str:
        return reverse("drying:damp_limits")
