"""Plantings: how they began, where they stood, what was expected of them."""

from decimal import Decimal

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import Q
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from ledger.facts.models import CostObject, Fact

from ..queries import PlantingQuerySet
from .ground import Bed, Variety

MOST_STEMS = 1_000_000
SENSIBLE = [MinValueValidator(1), MaxValueValidator(MOST_STEMS)]


class Planting(Fact):
    """One variety from its day (`on`) until cleared, in a bed or part of one, or without any.

    Raised in trays it takes its beds later (`PlantedOut`); what is gathered has
    none, what sowed itself may have one. `plants`: how many were raised or set
    out, None where nobody counted. `season` is the season in which an annual's
    stems are cut. A perennial has several: from `season` on,
    `productive_seasons` of them, unless a later `Life` says otherwise; what was
    spent before its first season is its establishing cost.
    """

    class Origin(models.TextChoices):
        BED = "bed", _("sown or planted in its bed")
        TRAYS = "trays", _("raised in trays")
        SELF_SOWN = "self_sown", _("self-sown")
        GATHERED = "gathered", _("gathered")

    cost_object = models.OneToOneField(CostObject, models.PROTECT, primary_key=True, related_name="planting")
    variety = models.ForeignKey(Variety, models.PROTECT, related_name="plantings")
    origin = models.CharField(_("how it began"), max_length=10, choices=Origin, default=Origin.BED)
    bed = models.ForeignKey(Bed, models.PROTECT, related_name="plantings", null=True, blank=True)
    area_m2 = models.DecimalField(
        _("area (m2)"), max_digits=9, decimal_places=2, null=True, blank=True, validators=[MinValueValidator(Decimal("0.01"))]
    )
    plants = models.PositiveIntegerField(_("plants"), null=True, blank=True, validators=SENSIBLE)
    season = models.PositiveSmallIntegerField(_("season (first season of a perennial)"))
    perennial = models.BooleanField(_("perennial"), default=False)
    productive_seasons = models.PositiveSmallIntegerField(
        _("productive seasons"), default=1, validators=[MinValueValidator(1), MaxValueValidator(60)]
    )

    objects = PlantingQuerySet.as_manager()

    class Meta(Fact.Meta):
        abstract = False
        constraints = [
            *Fact.Meta.constraints,
            models.CheckConstraint(condition=Q(area_m2__isnull=True) | Q(area_m2__gt=0), name="planting_area_positive"),
            models.CheckConstraint(
                condition=Q(bed__isnull=True, area_m2__isnull=True) | Q(bed__isnull=False, area_m2__isnull=False),
                name="planting_bed_has_area",
                violation_error_message=_("A bed needs the area taken of it, and an area its bed."),
            ),
            models.CheckConstraint(
                condition=Q(origin="self_sown")
                | Q(origin="bed", bed__isnull=False)
                | Q(origin__in=["trays", "gathered"], bed__isnull=True),
                name="planting_origin_fits_bed",
                violation_error_message=_("Trays take their bed when they are planted out; what is gathered has none."),
            ),
            models.CheckConstraint(condition=Q(plants__isnull=True) | Q(plants__gte=1), name="planting_plants_positive"),
            models.CheckConstraint(
                condition=Q(perennial=True) | Q(productive_seasons=1),
                name="planting_annual_one_season",
                violation_error_message=_("Only a perennial has several productive seasons."),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.variety}, {self.bed or self.get_origin_display()}, {self.season}"

    def get_absolute_url(self) -> str:
        return reverse("growing:planting", args=[self.pk])

    @property
    def where(self) -> str:
        """The beds it took, else how it began."""
        set_out = [str(out.bed) for out in self.planted_out.all() if out.stands]
        beds = [*([str(self.bed)] if self.bed else []), *set_out]
        return ", ".join(dict.fromkeys(beds)) or str(self.get_origin_display())


class Clearing(Fact):
    """The day a planting left its beds: it holds them up to, not including, that day.

    `failed`: nothing could be cut of it.
    """

    planting = models.ForeignKey(Planting, models.PROTECT, related_name="clearings")
    why = models.CharField(_("why"), max_length=120, blank=True)
    failed = models.BooleanField(_("it failed"), default=False)

    class Meta(Fact.Meta):
        abstract = False
        constraints = [
            *Fact.Meta.constraints,
            models.UniqueConstraint(
                fields=["planting"], condition=Q(undone_at__isnull=True), name="planting_cleared_once",
                violation_error_message=_("It has already been cleared."),
            ),
        ]

    def __str__(self) -> str:
        return str(_("Clearing of %(planting)s")) % {"planting": self.planting}

    def get_absolute_url(self) -> str:
        return self.planting.get_absolute_url()


class Expectation(Fact):
    """What a planting is expected to give and cost in one season, as of a day.

    `planned_cost` is the whole planned cost of the season in minor units, what
    has been spent already included; None where nobody planned.
    """

    planting = models.ForeignKey(Planting, models.PROTECT, related_name="expectations")
    season = models.PositiveSmallIntegerField(_("season"))
    stems = models.PositiveIntegerField(_("expected stems"), validators=SENSIBLE)
    planned_cost = models.PositiveBigIntegerField(_("planned cost of the season"), null=True, blank=True)

    class Meta(Fact.Meta):
        abstract = False

    def __str__(self) -> str:
        return str(_("%(stems)d stems expected of %(planting)s")) % {"stems": self.stems, "planting": self.planting}

    def get_absolute_url(self) -> str:
        return self.planting.get_absolute_url()


class GoneOver(Fact):
    """About so many stems of a planting spoiled in the bed uncut; what is cut of it bears their cost."""

    planting = models.ForeignKey(Planting, models.PROTECT, related_name="gone_over")
    stems = models.PositiveIntegerField(
        _("about so many stems"), validators=SENSIBLE
    )
    why = models.CharField(_("why"), max_length=120, blank=True)

    class Meta(Fact.Meta):
        abstract = False
        constraints = [
            *Fact.Meta.constraints,
            models.CheckConstraint(condition=Q(stems__gte=1, stems__lte=MOST_STEMS), name="gone_over_stems_sensible"),
        ]

    def __str__(self) -> str:
        return str(_("about %(stems)d gone over, %(planting)s")) % {"stems": self.stems, "planting": self.planting}

    def get_absolute_url(self) -> str:
        return self.planting.get_absolute_url()
