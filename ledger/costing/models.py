"""What the cost to the shelf rests on beyond what the path itself cost."""

from django.core.validators import MinValueValidator
from django.db import models
from django.db.models import Q
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from ledger.facts.models import CostKind, Fact


class OverheadPlan(Fact):
    """One year's expected storage, overheads and usual misfortune, and the usual base they are spread on.

    All in minor units. `usual_base`: what a usual year's bunches cost up to the
    box, unpaid work included; `usual_idle_and_luck` an average of seasons.
    """

    year = models.PositiveSmallIntegerField(_("year (in which it ends)"))
    overheads = models.PositiveBigIntegerField(_("expected overheads of the year"))
    storage = models.PositiveBigIntegerField(_("expected cost of storing boxed bunches"), default=0)
    usual_idle_and_luck = models.PositiveBigIntegerField(_("usual idle space and bad luck of a year"), default=0)
    usual_base = models.PositiveBigIntegerField(
        _("usual cost of a year's bunches up to the box"), validators=[MinValueValidator(1)]
    )
    source = models.CharField(_("where these figures come from"), max_length=200, blank=True)

    class Meta(Fact.Meta):
        abstract = False
        constraints = [
            *Fact.Meta.constraints,
            models.CheckConstraint(condition=Q(usual_base__gte=1), name="overhead_plan_base_positive"),
            models.UniqueConstraint(
                fields=["year"], condition=Q(undone_at__isnull=True), name="overhead_plan_once_a_year",
                violation_error_message=_("That year is already planned; undo it to plan it anew."),
            ),
        ]

    def __str__(self) -> str:
        return str(_("Overheads of %(year)d")) % {"year": self.year}


class KindBasis(Fact):
    """To which bases a kind of cost belongs from a day on, where an accountant moved it.

    Until then the flags of the kind itself hold. A day that is closed keeps those it was closed by.
    """

    kind = models.ForeignKey(CostKind, models.PROTECT, related_name="bases", verbose_name=_("kind of cost"))
    in_stock = models.BooleanField(_("in stock cost"), default=True)
    in_shelf = models.BooleanField(_("in cost to the shelf"), default=True)
    why = models.CharField(_("why"), max_length=200)

    class Meta(Fact.Meta):
        abstract = False
        constraints = [
            *Fact.Meta.constraints,
            models.CheckConstraint(
                condition=Q(in_stock=False) | Q(in_shelf=True), name="kind_basis_stock_within_shelf",
                violation_error_code="stock_beyond_shelf",
                violation_error_message=_("What is part of stock cost is part of the cost to the shelf too."),
            ),
        ]

    def __str__(self) -> str:
        return str(_("%(kind)s from %(on)s")) % {"kind": self.kind, "on": self.on}

    def get_absolute_url(self) -> str:
        return reverse("costing:kinds")
