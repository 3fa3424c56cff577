"""What happens to a planting while it stands: planted out, thinned, cut over, divided, partly cleared."""

from decimal import Decimal

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import F, Q
from django.utils.translation import gettext_lazy as _

from ledger.facts.models import Fact

from .ground import Bed
from .plantings import SENSIBLE, Planting

MOST_PARTS = 1000


class OfPlanting(Fact):
    """Something that happened to one planting, shown on its page."""

    class Meta(Fact.Meta):
        abstract = True

    def get_absolute_url(self) -> str:
        return self.planting.get_absolute_url()  # type: ignore[attr-defined]


class PlantedOut(OfPlanting):
    """Plants of a planting set out in a bed or part of it, which it holds from that day; `plants` None: not counted."""

    planting = models.ForeignKey(Planting, models.PROTECT, related_name="planted_out")
    bed = models.ForeignKey(Bed, models.PROTECT, related_name="planted_out")
    area_m2 = models.DecimalField(_("area (m2)"), max_digits=9, decimal_places=2, validators=[MinValueValidator(Decimal("0.01"))])
    plants = models.PositiveIntegerField(_("plants"), null=True, blank=True, validators=SENSIBLE)

    class Meta(OfPlanting.Meta):
        abstract = False
        constraints = [
            *Fact.Meta.constraints,
            models.CheckConstraint(condition=Q(area_m2__gt=0), name="planted_out_area_positive"),
            models.CheckConstraint(condition=Q(plants__isnull=True) | Q(plants__gte=1), name="planted_out_plants_positive"),
        ]

    def __str__(self) -> str:
        return str(_("%(area)s m2 planted out in %(bed)s")) % {"area": self.area_m2, "bed": self.bed}


class PartCleared(OfPlanting):
    """So many m2 that a planting gave up of one of its beds: held up to, not including, that day."""

    planting = models.ForeignKey(Planting, models.PROTECT, related_name="part_clearings")
    bed = models.ForeignKey(Bed, models.PROTECT, related_name="part_clearings")
    area_m2 = models.DecimalField(_("area (m2)"), max_digits=9, decimal_places=2, validators=[MinValueValidator(Decimal("0.01"))])
    why = models.CharField(_("why"), max_length=120, blank=True)

    class Meta(OfPlanting.Meta):
        abstract = False
        constraints = [
            *Fact.Meta.constraints,
            models.CheckConstraint(condition=Q(area_m2__gt=0), name="part_cleared_area_positive"),
        ]

    def __str__(self) -> str:
        return str(_("%(area)s m2 of %(bed)s cleared")) % {"area": self.area_m2, "bed": self.bed}


class SeedlingsDumped(OfPlanting):
    """Spare seedlings thrown away; those planted out bear what they cost."""

    planting = models.ForeignKey(Planting, models.PROTECT, related_name="seedlings_dumped")
    plants = models.PositiveIntegerField(_("plants"), validators=SENSIBLE)
    why = models.CharField(_("why"), max_length=120, blank=True)

    class Meta(OfPlanting.Meta):
        abstract = False
        constraints = [
            *Fact.Meta.constraints,
            models.CheckConstraint(condition=Q(plants__gte=1), name="seedlings_dumped_plants_positive"),
        ]

    def __str__(self) -> str:
        return str(_("%(plants)d seedlings of %(planting)s dumped")) % {"plants": self.plants, "planting": self.planting}


class CutOver(OfPlanting):
    """The day a perennial was cut over; work on it from then on is for the next season."""

    planting = models.ForeignKey(Planting, models.PROTECT, related_name="cuttings_over")
    note = models.CharField(_("note"), max_length=120, blank=True)

    class Meta(OfPlanting.Meta):
        abstract = False

    def __str__(self) -> str:
        return str(_("%(planting)s cut over")) % {"planting": self.planting}


class Life(OfPlanting):
    """How many productive seasons a perennial is now expected to have in all, counted from its first."""

    planting = models.ForeignKey(Planting, models.PROTECT, related_name="lives")
    productive_seasons = models.PositiveSmallIntegerField(
        _("productive seasons in all"), validators=[MinValueValidator(1), MaxValueValidator(60)]
    )
    why = models.CharField(_("why"), max_length=120, blank=True)

    class Meta(OfPlanting.Meta):
        abstract = False
        constraints = [
            *Fact.Meta.constraints,
            models.CheckConstraint(condition=Q(productive_seasons__range=(1, 60)), name="life_seasons_sensible"),
        ]

    def __str__(self) -> str:
        return str(_("%(seasons)d productive seasons of %(planting)s")) % {
            "seasons": self.productive_seasons, "planting": self.planting,
        }


class Division(OfPlanting):
    """A perennial divided: `parts` of its `of_parts` parts went into a daughter planting, with their share of its cost."""

    planting = models.ForeignKey(Planting, models.PROTECT, related_name="divisions")
    daughter = models.ForeignKey(Planting, models.PROTECT, related_name="divided_from")
    parts = models.PositiveSmallIntegerField(_("parts"), validators=[MinValueValidator(1), MaxValueValidator(MOST_PARTS)])
    of_parts = models.PositiveSmallIntegerField(
        _("of so many parts"), validators=[MinValueValidator(2), MaxValueValidator(MOST_PARTS)]
    )

    class Meta(OfPlanting.Meta):
        abstract = False
        constraints = [
            *Fact.Meta.constraints,
            models.CheckConstraint(
                condition=Q(parts__gte=1, parts__lt=F("of_parts")), name="division_parts_below_whole",
                violation_error_message=_("Fewer parts must go along than there are; what moves whole is planted anew."),
            ),
            models.UniqueConstraint(
                fields=["daughter"], condition=Q(undone_at__isnull=True), name="daughter_divided_once",
                violation_error_message=_("It has already been divided from another."),
            ),
        ]

    def __str__(self) -> str:
        return str(_("%(parts)d of %(of_parts)d parts of %(planting)s")) % {
            "parts": self.parts, "of_parts": self.of_parts, "planting": self.planting,
        }
