"""Materials: what is bought by the piece or by weight, used, and counted."""

from django.core.validators import MinValueValidator
from django.db import models
from django.db.models import Q
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from ledger.facts.models import CostObject, Fact

from ..queries import MaterialQuerySet


class Material(models.Model):
    """Something bought to be used up, in whole units; small ones are counted (`by_count`) instead of noted."""

    class Unit(models.TextChoices):
        PIECES = "pieces", _("pieces")
        GRAMS = "g", _("g")
        MILLILITRES = "ml", _("ml")
        CENTIMETRES = "cm", _("cm")

    cost_object = models.OneToOneField(CostObject, models.PROTECT, primary_key=True, related_name="material")
    name = models.CharField(_("name"), max_length=80, unique=True)
    unit = models.CharField(_("counted in"), max_length=6, choices=Unit)
    by_count = models.BooleanField(_("used up by count"), default=False)

    objects = MaterialQuerySet.as_manager()

    class Meta:
        ordering = ["name", "pk"]
        constraints = [
            models.CheckConstraint(condition=Q(unit__in=["pieces", "g", "ml", "cm"]), name="material_unit_known"),
        ]

    def __str__(self) -> str:
        return self.name

    def get_absolute_url(self) -> str:
        return reverse("daybook:material", args=[self.pk])


class MaterialUse(Fact):
    """So many units of a material that went into one thing."""

    material = models.ForeignKey(Material, models.PROTECT, related_name="uses")
    quantity = models.PositiveIntegerField(_("how many"), validators=[MinValueValidator(1)])
    spent_on = models.ForeignKey(CostObject, models.PROTECT, related_name="material_uses")
    note = models.CharField(_("note"), max_length=200, blank=True)

    class Meta(Fact.Meta):
        abstract = False
        constraints = [
            *Fact.Meta.constraints,
            models.CheckConstraint(
                condition=Q(quantity__gte=1),
                name="material_use_positive",
                violation_error_message=_("At least one, please."),
            ),
        ]

    def __str__(self) -> str:
        return str(_("%(n)d %(unit)s of %(material)s, %(on)s")) % {
            "n": self.quantity, "unit": self.material.get_unit_display(), "material": self.material, "on": self.on,
        }

    def get_absolute_url(self) -> str:
        return self.material.get_absolute_url()


class MaterialCount(Fact):
    """How much of a material there was at the end of a day."""

    material = models.ForeignKey(Material, models.PROTECT, related_name="counts")
    counted = models.PositiveIntegerField(_("counted"))
    note = models.CharField(_("note"), max_length=200, blank=True)

    class Meta(Fact.Meta):
        abstract = False

    def __str__(self) -> str:
        return str(_("%(material)s counted, %(on)s")) % {"material": self.material, "on": self.on}

    def get_absolute_url(self) -> str:
        return self.material.get_absolute_url()
