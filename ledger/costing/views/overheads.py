"""The overheads planned, year by year."""

from __future__ import annotations

from typing import Any

from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from ledger.facts.pages import Link, ListPage, Undo, Verb

from .. import actions
from ..filters import OverheadPlanFilter
from ..forms import OverheadsForm
from ..models import OverheadPlan
from ..tables import OverheadPlanTable


class OverheadPlans(ListPage):
    """The overheads planned, year by year."""

    model = OverheadPlan
    queryset = OverheadPlan.objects.standing()
    table_class, filterset_class = OverheadPlanTable, OverheadPlanFilter
    title, may = _("Overheads"), "see_costs"
    intro = _("What no bed or bunch can be named for, spread on the usual cost of a year's bunches.")

    def links(self) -> list[Link]:
        return [Link(_("Plan a year"), reverse("costing:plan_overheads"), "money")]

    def get_context_data(self, **given: Any) -> dict[str, Any]:
        return super().get_context_data(row_template="costing/overheads.html#row", **given)


class PlanOverheads(Verb):
    """Plan a year's overheads."""

    form_class, title, may = OverheadsForm, _("Plan a year's overheads"), "money"

    def act(self, form: OverheadsForm, **common: Any) -> OverheadPlan:
        return actions.plan_overheads(**form.given(), **common)

    def then(self, result: OverheadPlan) -> str:
        return reverse("costing:overheads")


class UndoOverheads(Undo):
    """Undo a plan of overheads."""

    subject_model, may, fact_name = OverheadPlan, "money", "plan"
    undoing = staticmethod(actions.undo_overhead_plan)

    def then(self, result: OverheadPlan) -> str:
        return reverse("costing:overheads")
