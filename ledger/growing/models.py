"""Plots, beds, plantings, harvest lots and what leaves a lot."""

from decimal import Decimal

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import F, Q
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from ledger.facts.models import CostObject, Fact

from .queries import BedQuerySet, LotQuerySet, PartingQuerySet, PlantingQuerySet

MOST_STEMS = 1_000_000


class Plot(models.Model):
    """Open ground, tunnel or glass, with a yearly cost; area in m2."""

    class Kind(models.TextChoices):
        OPEN = "open", _("open ground")
        TUNNEL = "tunnel", _("tunnel")
        GLASS = "glass", _("glass")

    cost_object = models.OneToOneField(CostObject, models.PROTECT, primary_key=True, related_name="plot")
    name = models.CharField(_("name"), max_length=80, unique=True)
    kind = models.CharField(_("kind"), max_length=6, choices=Kind, default=Kind.OPEN)
    area_m2 = models.DecimalField(_("area (m2)"), max_digits=9, decimal_places=2, validators=[MinValueValidator(Decimal("0.01"))])

    class Meta:
        ordering = ["name", "pk"]
        constraints = [
            models.CheckConstraint(condition=Q(kind__in=["open", "tunnel", "glass"]), name="plot_kind_known"),
            models.CheckConstraint(condition=Q(area_m2__gt=0), name="plot_area_positive"),
        ]

    def __str__(self) -> str:
        return self.name

    def get_absolute_url(self) -> str:
        return reverse("growing:plot", args=[self.pk])


class Bed(models.Model):
    """A bed on a plot; area in m2."""

    plot = models.ForeignKey(Plot, models.PROTECT, related_name="beds")
    name = models.CharField(_("name"), max_length=80)
    area_m2 = models.DecimalField(_("area (m2)"), max_digits=9, decimal_places=2, validators=[MinValueValidator(Decimal("0.01"))])

    objects = BedQuerySet.as_manager()

    class Meta:
        ordering = ["plot__name", "name", "pk"]
        constraints = [
            models.UniqueConstraint(fields=["plot", "name"], name="bed_name_once_a_plot"),
            models.CheckConstraint(condition=Q(area_m2__gt=0), name="bed_area_positive"),
        ]

    def __str__(self) -> str:
        return f"{self.plot} {self.name}"

    def get_absolute_url(self) -> str:
        return reverse("growing:bed", args=[self.pk])


class Species(models.Model):
    """A species as the trade calls it; `caution` in words where it can hurt.

    `stems_per_m2` is the species list's expectation for a season, `days_to_dry`
    the usual time hanging; both may be unknown.
    """

    name = models.CharField(_("name"), max_length=80, unique=True)
    botanical = models.CharField(_("botanical name"), max_length=120, blank=True)
    caution = models.CharField(_("caution (poisonous, irritant)"), max_length=200, blank=True)
    stems_per_m2 = models.PositiveIntegerField(_("expected stems per m2 in a season"), null=True, blank=True)
    days_to_dry = models.PositiveSmallIntegerField(_("days to dry"), null=True, blank=True)

    class Meta:
        ordering = ["name", "pk"]
        verbose_name_plural = _("species")

    def __str__(self) -> str:
        return self.name

    def get_absolute_url(self) -> str:
        return reverse("growing:species", args=[self.pk])


class Variety(models.Model):
    """A variety of a species with its colour."""

    species = models.ForeignKey(Species, models.PROTECT, related_name="varieties")
    name = models.CharField(_("name"), max_length=80)
    colour = models.CharField(_("colour"), max_length=40, blank=True)

    class Meta:
        ordering = ["species__name", "name", "pk"]
        verbose_name_plural = _("varieties")
        constraints = [
            models.UniqueConstraint(fields=["species", "name"], name="variety_once_a_species"),
        ]

    def __str__(self) -> str:
        return f"{self.species} {self.name}"

    def get_absolute_url(self) -> str:
        return reverse("growing:variety", args=[self.pk])


class Planting(Fact):
    """One variety in one bed or part of it, from its day (`on`) until cleared.

    `season` is the season in which an annual's stems are cut. A perennial has
    several: from `season` on, `productive_seasons` of them; what was spent
    before its first season is its establishing cost.
    """

    cost_object = models.OneToOneField(CostObject, models.PROTECT, primary_key=True, related_name="planting")
    variety = models.ForeignKey(Variety, models.PROTECT, related_name="plantings")
    bed = models.ForeignKey(Bed, models.PROTECT, related_name="plantings")
    area_m2 = models.DecimalField(_("area (m2)"), max_digits=9, decimal_places=2, validators=[MinValueValidator(Decimal("0.01"))])
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
            models.CheckConstraint(condition=Q(area_m2__gt=0), name="planting_area_positive"),
            models.CheckConstraint(
                condition=Q(perennial=True) | Q(productive_seasons=1),
                name="planting_annual_one_season",
                violation_error_message=_("Only a perennial has several productive seasons."),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.variety}, {self.bed}, {self.season}"

    def get_absolute_url(self) -> str:
        return reverse("growing:planting", args=[self.pk])


class Clearing(Fact):
    """The day a planting left its bed: it holds the bed up to, not including, that day."""

    planting = models.ForeignKey(Planting, models.PROTECT, related_name="clearings")
    why = models.CharField(_("why"), max_length=120, blank=True)

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
    stems = models.PositiveIntegerField(_("expected stems"), validators=[MinValueValidator(1), MaxValueValidator(MOST_STEMS)])
    planned_cost = models.PositiveBigIntegerField(_("planned cost of the season"), null=True, blank=True)

    class Meta(Fact.Meta):
        abstract = False

    def __str__(self) -> str:
        return str(_("%(stems)d stems expected of %(planting)s")) % {"stems": self.stems, "planting": self.planting}

    def get_absolute_url(self) -> str:
        return self.planting.get_absolute_url()


class Lot(Fact):
    """What was cut from one planting on one day, in stems.

    Counted by stems, or by `bundles` of `per_bundle`; `stems` is the whole.
    `about`: nobody counted to the stem; the number is reckoned with as it stands.
    """

    class Stage(models.TextChoices):
        TIGHT = "tight", _("tight")
        HALF_OPEN = "half_open", _("half open")
        FULL = "full", _("full")
        SEED = "seed", _("seed head set")

    cost_object = models.OneToOneField(CostObject, models.PROTECT, primary_key=True, related_name="lot")
    planting = models.ForeignKey(Planting, models.PROTECT, related_name="lots")
    stage = models.CharField(_("stage when cut"), max_length=10, choices=Stage)
    bundles = models.PositiveIntegerField(_("bundles"), null=True, blank=True)
    per_bundle = models.PositiveIntegerField(_("stems to the bundle"), null=True, blank=True)
    stems = models.PositiveIntegerField(_("stems"), validators=[MinValueValidator(1), MaxValueValidator(MOST_STEMS)])
    about = models.BooleanField(_("about so many"), default=False)

    objects = LotQuerySet.as_manager()

    class Meta(Fact.Meta):
        abstract = False
        constraints = [
            *Fact.Meta.constraints,
            models.CheckConstraint(condition=Q(stems__gte=1, stems__lte=MOST_STEMS), name="lot_stems_sensible"),
            models.CheckConstraint(
                condition=Q(bundles__isnull=True, per_bundle__isnull=True)
                | Q(bundles__isnull=False, per_bundle__isnull=False, stems=F("bundles") * F("per_bundle")),
                name="lot_bundles_make_stems",
                violation_error_message=_("Bundles times stems to the bundle is not the number of stems."),
            ),
            models.CheckConstraint(
                condition=Q(stage__in=["tight", "half_open", "full", "seed"]), name="lot_stage_known"
            ),
        ]

    def __str__(self) -> str:
        return str(_("%(variety)s cut %(on)s")) % {"variety": self.planting.variety, "on": self.on}

    def get_absolute_url(self) -> str:
        return reverse("growing:lot", args=[self.pk])


class GoneOver(Fact):
    """About so many stems of a planting spoiled in the bed uncut; what is cut of it bears their cost."""

    planting = models.ForeignKey(Planting, models.PROTECT, related_name="gone_over")
    stems = models.PositiveIntegerField(
        _("about so many stems"), validators=[MinValueValidator(1), MaxValueValidator(MOST_STEMS)]
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


class Parting(Fact):
    """Stems leaving a lot: sold fresh, hung, cut dry, drawn, or thrown out.

    What has not parted is in water. A hanging and a fresh sale point here.
    """

    class Way(models.TextChoices):
        SOLD_FRESH = "sold_fresh", _("sold fresh")
        HUNG = "hung", _("hung")
        CUT_DRY = "cut_dry", _("cut dry")
        DRAWN = "drawn", _("drawn")
        THROWN_OUT = "thrown_out", _("thrown out")

    lot = models.ForeignKey(Lot, models.PROTECT, related_name="partings")
    way = models.CharField(_("what became of them"), max_length=10, choices=Way)
    stems = models.PositiveIntegerField(_("stems"), validators=[MinValueValidator(1), MaxValueValidator(MOST_STEMS)])
    why = models.CharField(_("why"), max_length=120, blank=True)

    objects = PartingQuerySet.as_manager()

    class Meta(Fact.Meta):
        abstract = False
        constraints = [
            *Fact.Meta.constraints,
            models.CheckConstraint(condition=Q(stems__gte=1), name="parting_stems_positive"),
            models.CheckConstraint(
                condition=Q(way__in=["sold_fresh", "hung", "cut_dry", "drawn", "thrown_out"]),
                name="parting_way_known",
            ),
        ]

    def __str__(self) -> str:
        return str(_("%(stems)d of %(lot)s %(way)s")) % {
            "stems": self.stems, "lot": self.lot, "way": self.get_way_display(),
        }

    def get_absolute_url(self) -> str:
        return self.lot.get_absolute_url()
