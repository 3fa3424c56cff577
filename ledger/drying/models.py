"""Drying places, their readings, hangings, taking down and losses."""

from decimal import Decimal

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import F, Q
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from ledger.facts.models import CostObject, Fact
from ledger.growing.models import Parting, Variety

from .queries import HangingQuerySet, PlaceQuerySet, ReadingQuerySet, TakingDownQuerySet

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


class Hanging(Fact):
    """Part of a lot put up in one drying place on one day.

    `parting` is the movement out of the lot; `stems` repeats its number, so
    that the balance of a hanging is one row. `room` is what it takes of the
    place, in the place's unit, until nothing of it is up.
    """

    cost_object = models.OneToOneField(CostObject, models.PROTECT, primary_key=True, related_name="hanging")
    parting = models.OneToOneField(Parting, models.PROTECT, related_name="hanging")
    place = models.ForeignKey(Place, models.PROTECT, related_name="hangings")
    stems = models.PositiveIntegerField(_("stems"))
    bundles = models.PositiveIntegerField(_("bundles"), null=True, blank=True)
    room = models.PositiveIntegerField(_("room taken"), default=1, validators=[MinValueValidator(1)])

    objects = HangingQuerySet.as_manager()

    class Meta(Fact.Meta):
        abstract = False
        constraints = [
            *Fact.Meta.constraints,
            models.CheckConstraint(condition=Q(stems__gte=1), name="hanging_stems_positive"),
            models.CheckConstraint(condition=Q(room__gte=1), name="hanging_room_positive"),
        ]

    def __str__(self) -> str:
        return str(_("%(variety)s hung %(on)s in %(place)s")) % {
            "variety": self.parting.lot.planting.variety, "on": self.on, "place": self.place,
        }

    def get_absolute_url(self) -> str:
        return reverse("drying:hanging", args=[self.pk])


class TakingDown(Fact):
    """Stems of one hanging taken down on one day.

    `stems` counts all that came down, `sound` those fit to bunch. `dried_g` is
    the sound stems' weight in whole grams, None where nobody weighed them.
    """

    hanging = models.ForeignKey(Hanging, models.PROTECT, related_name="takings")
    stems = models.PositiveIntegerField(_("stems taken down"), validators=[MinValueValidator(1)])
    sound = models.PositiveIntegerField(_("sound stems"))
    dried_g = models.PositiveIntegerField(_("weight of the sound stems (g)"), null=True, blank=True)

    objects = TakingDownQuerySet.as_manager()

    class Meta(Fact.Meta):
        abstract = False
        constraints = [
            *Fact.Meta.constraints,
            models.CheckConstraint(
                condition=Q(sound__lte=F("stems")),
                name="taking_down_sound_within_stems",
                violation_error_message=_("More stems are sound than came down."),
            ),
            models.CheckConstraint(condition=Q(stems__gte=1), name="taking_down_stems_positive"),
        ]

    def __str__(self) -> str:
        return str(_("%(stems)d taken down %(on)s of %(hanging)s")) % {
            "stems": self.stems, "on": self.on, "hanging": self.hanging,
        }

    def get_absolute_url(self) -> str:
        return reverse("drying:taking_down", args=[self.pk])


class Loss(models.Model):
    """Stems of one taking down that were not sound, by reason."""

    class Reason(models.TextChoices):
        MOULD = "mould", _("mould")
        SHATTERED = "shattered", _("shattered")
        BLOWN = "blown", _("blown (opened too far)")
        FADED = "faded", _("faded")
        CRUSHED = "crushed", _("crushed")
        INSECTS = "insects", _("insects")
        DROPPED = "dropped", _("dropped")
        OTHER = "other", _("other")

    part_of = "taking"
    taking = models.ForeignKey(TakingDown, models.PROTECT, related_name="losses")
    reason = models.CharField(_("reason"), max_length=10, choices=Reason)
    stems = models.PositiveIntegerField(_("stems lost"), validators=[MinValueValidator(1)])

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.UniqueConstraint(fields=["taking", "reason"], name="loss_reason_once"),
            models.CheckConstraint(condition=Q(stems__gte=1), name="loss_stems_positive"),
            models.CheckConstraint(
                condition=Q(
                    reason__in=["mould", "shattered", "blown", "faded", "crushed", "insects", "dropped", "other"]
                ),
                name="loss_reason_known",
            ),
        ]


class LossNorm(Fact):
    """The usual share of stems lost in drying from a day on, in hundredths of a per cent of stems hung."""

    variety = models.ForeignKey(Variety, models.PROTECT, related_name="loss_norms")
    share_bp = models.PositiveIntegerField(_("usual loss (hundredths of a per cent)"))

    class Meta(Fact.Meta):
        abstract = False
        constraints = [
            *Fact.Meta.constraints,
            models.CheckConstraint(
                condition=Q(share_bp__lt=10_000), name="loss_norm_below_whole",
                violation_error_message=_("A usual loss must be less than the whole."),
            ),
        ]

    def __str__(self) -> str:
        return str(_("usual loss of %(variety)s")) % {"variety": self.variety}

    def get_absolute_url(self) -> str:
        return reverse("drying:loss_norms")


class Disaster(Fact):
    """The grower's mark that a hanging's loss was no usual one.

    `norm_bp` is the usual share lost kept with the mark, so that a later norm
    does not change it.
    """

    hanging = models.ForeignKey(Hanging, models.PROTECT, related_name="disasters")
    norm_bp = models.PositiveIntegerField(_("usual loss (hundredths of a per cent)"), default=0)
    why = models.CharField(_("what happened"), max_length=200)

    class Meta(Fact.Meta):
        abstract = False
        constraints = [
            *Fact.Meta.constraints,
            models.CheckConstraint(condition=Q(norm_bp__lt=10_000), name="disaster_norm_below_whole"),
            models.UniqueConstraint(
                fields=["hanging"], condition=Q(undone_at__isnull=True), name="hanging_disaster_once",
                violation_error_message=_("It is already marked as a disaster."),
            ),
        ]

    def __str__(self) -> str:
        return str(_("disaster: %(hanging)s")) % {"hanging": self.hanging}

    def get_absolute_url(self) -> str:
        return self.hanging.get_absolute_url()


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
