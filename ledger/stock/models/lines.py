"""Bunch lines, and what one of a made-up line takes."""

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import F, Q
from django.db.models.functions import Coalesce
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from ledger.daybook.models import Material
from ledger.facts.models import Fact, label_of
from ledger.growing.models import Species, Variety
from ledger.stock.queries.sets import LineQuerySet, RecipeQuerySet


class Line(models.Model):
    """What is sold: variety, colour, grade, finish and unit.

    Made-up goods and mixed bunches have a `name` and may lack a variety (NULL).
    `unit` says how it is counted: a bunch of `stems` stems, a weight of
    `grams` g, or a piece. Counts of a line are whole units of that size.
    """

    class Grade(models.TextChoices):
        FIRSTS = "firsts", _("firsts")
        SECONDS = "seconds", _("seconds")
        ODDMENTS = "oddments", _("oddments")

    class Finish(models.TextChoices):
        NATURAL = "natural", _("natural")
        BLEACHED = "bleached", _("bleached in the sun")
        DYED = "dyed", _("dyed")
        PRESERVED = "preserved", _("preserved")

    class Unit(models.TextChoices):
        BUNCH = "bunch", _("bunch")
        WEIGHT = "weight", _("weight")
        PIECE = "piece", _("piece")

    variety = models.ForeignKey(Variety, models.PROTECT, null=True, blank=True, related_name="lines")
    name = models.CharField(_("name"), max_length=80, blank=True)
    colour = models.CharField(_("colour"), max_length=40, blank=True)
    grade = models.CharField(_("grade"), max_length=8, choices=Grade, default=Grade.FIRSTS)
    finish = models.CharField(_("finish"), max_length=9, choices=Finish, default=Finish.NATURAL)
    unit = models.CharField(_("sold by"), max_length=6, choices=Unit, default=Unit.BUNCH)
    stems = models.PositiveIntegerField(
        _("stems to the bunch"), null=True, blank=True, validators=[MinValueValidator(1), MaxValueValidator(1000)]
    )
    grams = models.PositiveIntegerField(
        _("grams to the unit"), null=True, blank=True, validators=[MinValueValidator(1), MaxValueValidator(100_000)]
    )

    objects = LineQuerySet.as_manager()

    class Meta:
        ordering = [
            F("variety__species__name").asc(nulls_last=True), F("variety__name").asc(nulls_last=True), "name", "colour",
            "grade", "finish", "pk",
        ]
        constraints = [
            models.CheckConstraint(
                condition=Q(variety__isnull=False) | ~Q(name=""), name="line_variety_or_name",
                violation_error_message=_("A line needs its variety, or a name of its own."),
            ),
            models.CheckConstraint(condition=Q(grade__in=["firsts", "seconds", "oddments"]), name="line_grade_known"),
            models.CheckConstraint(
                condition=Q(finish__in=["natural", "bleached", "dyed", "preserved"]), name="line_finish_known"
            ),
            models.CheckConstraint(
                condition=Q(unit="bunch", stems__isnull=False, stems__gte=1, grams__isnull=True)
                | Q(unit="weight", grams__isnull=False, grams__gte=1, stems__isnull=True)
                | Q(unit="piece", grams__isnull=True, stems__isnull=True),
                name="line_unit_whole",
                violation_error_message=_("A bunch needs its stems, a weight its grams, a piece neither."),
            ),
            models.UniqueConstraint(
                Coalesce("variety", 0, output_field=models.BigIntegerField()), "name", "colour", "grade", "finish", "unit",
                Coalesce("stems", 0), Coalesce("grams", 0), name="line_once",
                violation_error_message=_("That line is already there."),
            ),
        ]

    def __str__(self) -> str:
        size = {"bunch": f"{self.stems} st", "weight": f"{self.grams} g", "piece": _("piece")}[self.unit]
        parts = [self.called, self.colour]
        if self.variety_id or self.grade != self.Grade.FIRSTS:
            parts.append(label_of(self.Grade, self.grade))
        if self.finish != self.Finish.NATURAL:
            parts.append(label_of(self.Finish, self.finish))
        return ", ".join(str(part) for part in [*parts, size] if part)

    def get_absolute_url(self) -> str:
        return reverse("stock:line", args=[self.pk])

    @property
    def called(self) -> str:
        """Its name, its variety, or both."""
        return ", ".join(str(part) for part in (self.name, self.variety) if part)

    @property
    def own_colour(self) -> str:
        """Its colour, else its variety's."""
        return self.colour or (self.variety.colour if self.variety else "")


class Recipe(Fact):
    """What one of a made-up line takes, from a day on; the latest standing one is proposed, never imposed."""

    line = models.ForeignKey(Line, models.PROTECT, related_name="recipes")
    note = models.CharField(_("note"), max_length=200, blank=True)

    objects = RecipeQuerySet.as_manager()

    class Meta(Fact.Meta):
        abstract = False

    def __str__(self) -> str:
        return str(_("Recipe of %(line)s, %(on)s")) % {"line": self.line, "on": self.on}

    def get_absolute_url(self) -> str:
        return reverse("stock:recipe", args=[self.pk])


class RecipePart(models.Model):
    """So many, for one made, of a line's bunches, of loose stems of a variety, or of a material's units."""

    part_of = "recipe"
    recipe = models.ForeignKey(Recipe, models.PROTECT, related_name="parts")
    of_line = models.ForeignKey(Line, models.PROTECT, null=True, blank=True, related_name="used_in")
    variety = models.ForeignKey(Variety, models.PROTECT, null=True, blank=True, related_name="used_in")
    material = models.ForeignKey(Material, models.PROTECT, null=True, blank=True, related_name="used_in")
    quantity = models.PositiveIntegerField(_("for one made"), validators=[MinValueValidator(1), MaxValueValidator(1_000_000)])

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.CheckConstraint(
                condition=Q(of_line__isnull=False, variety__isnull=True, material__isnull=True)
                | Q(of_line__isnull=True, variety__isnull=False, material__isnull=True)
                | Q(of_line__isnull=True, variety__isnull=True, material__isnull=False),
                name="recipe_part_of_one_thing",
                violation_error_message=_("A part of a recipe is one thing: bunches, loose stems or a material."),
            ),
            models.CheckConstraint(condition=Q(quantity__gte=1), name="recipe_part_quantity_positive"),
            models.UniqueConstraint(
                fields=["recipe", "of_line"], condition=Q(of_line__isnull=False), name="recipe_line_once"
            ),
            models.UniqueConstraint(
                fields=["recipe", "variety"], condition=Q(variety__isnull=False), name="recipe_variety_once"
            ),
            models.UniqueConstraint(
                fields=["recipe", "material"], condition=Q(material__isnull=False), name="recipe_material_once"
            ),
        ]

    @property
    def what(self) -> models.Model | None:
        """The line, variety or material it is a part of."""
        return self.of_line or self.variety or self.material


class KeepsFor(Fact):
    """How many days bunches of a species (NULL: of any) are at their best after they were made, from a day on."""

    species = models.ForeignKey(Species, models.PROTECT, null=True, blank=True, related_name="keeps_for")
    days = models.PositiveIntegerField(_("days at their best"), validators=[MinValueValidator(1), MaxValueValidator(10_000)])

    class Meta(Fact.Meta):
        abstract = False
        constraints = [
            *Fact.Meta.constraints,
            models.CheckConstraint(condition=Q(days__gte=1), name="keeps_for_some_days"),
        ]

    def __str__(self) -> str:
        of = self.species or _("any species")
        return str(_("%(of)s: %(days)d days at their best")) % {"of": of, "days": self.days}

    def get_absolute_url(self) -> str:
        return reverse("stock:ages")
