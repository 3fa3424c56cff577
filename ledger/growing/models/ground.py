"""Plots and beds, species and varieties."""

from decimal import Decimal

from django.core.validators import MinValueValidator
from django.db import models
from django.db.models import F, Q
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from ledger.facts.models import CostObject

from ..queries import BedQuerySet


class Plot(models.Model):
    """Open ground, tunnel or glass, with a yearly cost; area in m2.

    `wide_m`: its width in m for the plan of its beds (NULL: drawn as a square); its depth follows from its area.
    """

    class Kind(models.TextChoices):
        OPEN = "open", _("open ground")
        TUNNEL = "tunnel", _("tunnel")
        GLASS = "glass", _("glass")

    cost_object = models.OneToOneField(CostObject, models.PROTECT, primary_key=True, related_name="plot")
    name = models.CharField(_("name"), max_length=80, unique=True)
    kind = models.CharField(_("kind"), max_length=6, choices=Kind, default=Kind.OPEN)
    area_m2 = models.DecimalField(_("area (m2)"), max_digits=9, decimal_places=2, validators=[MinValueValidator(Decimal("0.01"))])
    wide_m = models.DecimalField(
        _("width (m)"), max_digits=7, decimal_places=2, null=True, blank=True, validators=[MinValueValidator(Decimal("0.01"))]
    )

    class Meta:
        ordering = ["name", "pk"]
        constraints = [
            models.CheckConstraint(condition=Q(kind__in=["open", "tunnel", "glass"]), name="plot_kind_known"),
            models.CheckConstraint(condition=Q(area_m2__gt=0), name="plot_area_positive"),
            models.CheckConstraint(condition=Q(wide_m__isnull=True) | Q(wide_m__gt=0), name="plot_width_positive"),
        ]

    def __str__(self) -> str:
        return self.name

    def get_absolute_url(self) -> str:
        return reverse("growing:plot", args=[self.pk])


class Bed(models.Model):
    """A bed on a plot; area in m2.

    Where it lies on the plan of its plot, in m: `left_m` from the left edge and `front_m` from the front edge to its
    nearest corner, `long_m` its length, away from the front or `across`; its width follows from its area. All three
    NULL where nobody laid it out.
    """

    plot = models.ForeignKey(Plot, models.PROTECT, related_name="beds")
    name = models.CharField(_("name"), max_length=80)
    area_m2 = models.DecimalField(_("area (m2)"), max_digits=9, decimal_places=2, validators=[MinValueValidator(Decimal("0.01"))])

    left_m = models.DecimalField(_("from the left (m)"), max_digits=7, decimal_places=2, null=True, blank=True)
    front_m = models.DecimalField(_("from the front (m)"), max_digits=7, decimal_places=2, null=True, blank=True)
    long_m = models.DecimalField(_("length (m)"), max_digits=7, decimal_places=2, null=True, blank=True)
    across = models.BooleanField(_("runs across the plot"), default=False)

    objects = BedQuerySet.as_manager()

    class Meta:
        ordering = ["plot__name", "name", "pk"]
        constraints = [
            models.CheckConstraint(
                condition=Q(left_m__isnull=True, front_m__isnull=True, long_m__isnull=True)
                | Q(left_m__gte=0, left_m__isnull=False)
                & Q(front_m__gte=0, front_m__isnull=False)
                & Q(long_m__gt=0, long_m__isnull=False),
                name="bed_laid_out_whole",
                violation_error_message=_("A bed on the plan needs its length and how far it lies from the left and the front."),
            ),
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
    the usual time hanging; both may be unknown. The water in its stems when
    fresh and when dry enough, in hundredths of a per cent of the whole weight
    (wet basis), stands together or not at all.
    """

    name = models.CharField(_("name"), max_length=80, unique=True)
    botanical = models.CharField(_("botanical name"), max_length=120, blank=True)
    caution = models.CharField(_("caution (poisonous, irritant)"), max_length=200, blank=True)
    stems_per_m2 = models.PositiveIntegerField(_("expected stems per m2 in a season"), null=True, blank=True)
    days_to_dry = models.PositiveSmallIntegerField(_("days to dry"), null=True, blank=True)
    fresh_moisture_bp = models.PositiveSmallIntegerField(_("water in it when fresh"), null=True, blank=True)
    dry_moisture_bp = models.PositiveSmallIntegerField(_("water in it when dry"), null=True, blank=True)

    class Meta:
        ordering = ["name", "pk"]
        verbose_name_plural = _("species")
        constraints = [
            models.CheckConstraint(
                condition=Q(fresh_moisture_bp__isnull=True, dry_moisture_bp__isnull=True)
                | Q(
                    fresh_moisture_bp__isnull=False, dry_moisture_bp__isnull=False, fresh_moisture_bp__lt=10_000,
                    dry_moisture_bp__lt=F("fresh_moisture_bp"),
                ),
                name="species_dries",
                violation_error_code="does_not_dry",
                violation_error_message=_("Enter the water when fresh and when dry, less of it when dry, or neither."),
            ),
        ]

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
