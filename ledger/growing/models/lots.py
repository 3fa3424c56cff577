"""Harvest lots and what leaves a lot."""

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import F, Q
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from ledger.facts.models import CostObject, Fact

from ..queries import LotQuerySet, PartingQuerySet
from .plantings import MOST_STEMS, SENSIBLE, Planting

MOST_GRAMS = 10_000_000
A_WEIGHT = [MinValueValidator(1), MaxValueValidator(MOST_GRAMS)]
MOST_VALUE = 10**9


class Lot(Fact):
    """What was cut from one planting on one day, in stems.

    Counted by stems, by `bundles` of `per_bundle`, or weighed: the whole weighs
    `fresh_g`, a sample of `sample_stems` stems `sample_g`; `stems` is the whole.
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
    stems = models.PositiveIntegerField(_("stems"), validators=SENSIBLE)
    fresh_g = models.PositiveIntegerField(_("fresh weight (g)"), null=True, blank=True, validators=A_WEIGHT)
    sample_stems = models.PositiveIntegerField(_("stems of the sample"), null=True, blank=True, validators=SENSIBLE)
    sample_g = models.PositiveIntegerField(_("weight of the sample (g)"), null=True, blank=True, validators=A_WEIGHT)
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
                condition=Q(fresh_g__isnull=True, sample_stems__isnull=True, sample_g__isnull=True)
                | Q(
                    fresh_g__isnull=False, sample_stems__isnull=False, sample_g__isnull=False, fresh_g__gte=F("sample_g"),
                    sample_stems__gte=1, sample_g__gte=1, bundles__isnull=True, about=True,
                ),
                name="lot_weighed_whole",
                violation_error_message=_("A weighed lot needs its weight, and the stems and weight of a sample no heavier."),
            ),
            models.CheckConstraint(
                condition=Q(stage__in=["tight", "half_open", "full", "seed"]), name="lot_stage_known"
            ),
        ]

    def __str__(self) -> str:
        return str(_("%(variety)s cut %(on)s")) % {"variety": self.planting.variety, "on": self.on}

    def get_absolute_url(self) -> str:
        return reverse("growing:lot", args=[self.pk])


class Parting(Fact):
    """Stems leaving a lot: sold fresh, hung, cut dry, made up, drawn, or thrown out.

    What has not parted is in water. A hanging and a fresh sale point here.
    """

    class Way(models.TextChoices):
        SOLD_FRESH = "sold_fresh", _("sold fresh")
        HUNG = "hung", _("hung")
        CUT_DRY = "cut_dry", _("cut dry")
        MADE_UP = "made_up", _("made up")
        DRAWN = "drawn", _("drawn")
        THROWN_OUT = "thrown_out", _("thrown out")

    lot = models.ForeignKey(Lot, models.PROTECT, related_name="partings")
    way = models.CharField(_("what became of them"), max_length=10, choices=Way)
    stems = models.PositiveIntegerField(_("stems"), validators=SENSIBLE)
    why = models.CharField(_("why"), max_length=120, blank=True)

    objects = PartingQuerySet.as_manager()

    class Meta(Fact.Meta):
        abstract = False
        constraints = [
            *Fact.Meta.constraints,
            models.CheckConstraint(condition=Q(stems__gte=1), name="parting_stems_positive"),
            models.CheckConstraint(
                condition=Q(way__in=["sold_fresh", "hung", "cut_dry", "made_up", "drawn", "thrown_out"]),
                name="parting_way_known",
            ),
        ]

    def __str__(self) -> str:
        return str(_("%(stems)d of %(lot)s %(way)s")) % {
            "stems": self.stems, "lot": self.lot, "way": self.get_way_display(),
        }

    def get_absolute_url(self) -> str:
        return self.lot.get_absolute_url()


class CutValue(Fact):
    """What a hundred stems of a lot that go one way are worth, kept for sharing out what the lot cost.

    `per_hundred` is in minor units net of tax, less what is still to be paid to
    finish and sell them; nil leaves the lot shared by stems.
    """

    WAYS = ("sold_fresh", "hung", "cut_dry", "made_up", "drawn")

    lot = models.ForeignKey(Lot, models.PROTECT, related_name="cut_values")
    way = models.CharField(_("what becomes of them"), max_length=10, choices=Parting.Way)
    per_hundred = models.PositiveIntegerField(_("value of a hundred stems"), validators=[MaxValueValidator(MOST_VALUE)])

    class Meta(Fact.Meta):
        abstract = False
        constraints = [
            *Fact.Meta.constraints,
            models.CheckConstraint(
                condition=Q(way__in=["sold_fresh", "hung", "cut_dry", "made_up", "drawn"]), name="cut_value_way_known",
                violation_error_message=_("What is thrown out has no value: the rest bears it."),
            ),
            models.UniqueConstraint(
                fields=["lot", "way"], condition=Q(undone_at__isnull=True), name="cut_value_once_a_way",
                violation_error_message=_("A value is kept for this already."),
            ),
        ]

    def __str__(self) -> str:
        return str(_("value of %(lot)s, %(way)s")) % {"lot": self.lot, "way": self.get_way_display()}

    def get_absolute_url(self) -> str:
        return self.lot.get_absolute_url()


class WaterLimit(Fact):
    """So many days in water, counted from the cut, that are too long, from a day on."""

    days = models.PositiveSmallIntegerField(_("days"), validators=[MinValueValidator(1), MaxValueValidator(60)])

    class Meta(Fact.Meta):
        abstract = False
        constraints = [
            *Fact.Meta.constraints,
            models.CheckConstraint(condition=Q(days__range=(1, 60)), name="water_limit_sensible"),
        ]

    def __str__(self) -> str:
        return str(_("too long in water: %(days)d days")) % {"days": self.days}

    def get_absolute_url(self) -> str:
        return reverse("growing:water_limits")
