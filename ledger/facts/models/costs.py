"""What time and money can be spent on, and the kinds of cost."""

from django.db import models
from django.utils.translation import gettext_lazy as _


class CostObject(models.Model):
    """The key of one record that time or money is spent on.

    The record's own primary key is this row, so a share of work or of a bill
    names it without knowing which stage it belongs to. `label` is what people
    see; it is kept by the record's own actions.
    """

    class Kind(models.TextChoices):
        PLOT = "plot", _("plot")
        PLANTING = "planting", _("planting")
        LOT = "lot", _("harvest lot")
        PLACE = "place", _("drying place")
        HANGING = "hanging", _("hanging")
        RUN = "run", _("bunching run")
        STORE = "store", _("the store")
        STALL_DAY = "stall_day", _("stall day")
        ORDER = "order", _("trade order")
        SALE = "sale", _("retail sale")
        JOB = "job", _("job")
        WORKSHOP = "workshop", _("workshop")
        MATERIAL = "material", _("material")
        HOLDING = "holding", _("the holding")

    kind = models.CharField(max_length=12, choices=Kind)
    label = models.CharField(max_length=200)

    class Meta:
        ordering = ["kind", "label", "pk"]
        constraints = [
            models.CheckConstraint(
                condition=models.Q(
                    kind__in=[
                        "plot", "planting", "lot", "place", "hanging", "run",
                        "store", "stall_day", "order", "sale", "job", "workshop", "material", "holding",
                    ]
                ),
                name="cost_object_kind_known",
            ),
        ]

    def __str__(self) -> str:
        return self.label


class CostKind(models.Model):
    """A kind of cost, with a flag for each basis, so that an accountant can move one.

    `in_stock`: part of stock cost where its stage allows; `in_shelf`: part of
    the cost to the shelf; `paid`: money that leaves (unpaid hours are not).
    """

    code = models.SlugField(max_length=20, unique=True)
    name = models.CharField(_("name"), max_length=80)
    in_stock = models.BooleanField(_("in stock cost"), default=True)
    in_shelf = models.BooleanField(_("in cost to the shelf"), default=True)
    paid = models.BooleanField(_("money paid"), default=True)

    class Meta:
        ordering = ["pk"]

    def __str__(self) -> str:
        return self.name
