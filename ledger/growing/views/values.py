"""Pages of what a lot's ways out are worth, and of the limit in water."""

from __future__ import annotations

from typing import Any

from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from ledger.facts.pages import Link, ListPage, Undo, Verb

from .. import actions
from ..filters import WaterLimitFilter
from ..forms import ValueWaysForm, WaterLimitForm
from ..models import CutValue, Lot, WaterLimit
from ..tables import WaterLimitTable


class ValueWays(Verb):
    """Keep what a hundred stems are worth each way."""

    form_class, title, may, button = ValueWaysForm, _("Value its ways out"), "money", _("Keep these values")
    subject_model = Lot
    intro = _(
        "What a hundred stems bring each way, net of tax, less what finishing and selling them still costs. The lot's cost is "
        "shared by these; with none of them it is shared by stems. What is in water counts as to be hung."
    )

    def initial(self) -> dict[str, Any]:
        """The values that stand."""
        kept = {one.way: one.per_hundred for one in self.subject.cut_values.standing()}
        return {"on": self.subject.on, **kept, **super().initial()}

    def act(self, form: ValueWaysForm, **common: Any) -> list[CutValue]:
        return actions.value_ways(lot=self.subject, on=form.cleaned_data["on"], values=form.values(), **common)

    def then(self, result: Any) -> str:
        return self.subject.get_absolute_url()


class UndoCutValue(Undo):
    """Undo a value kept for one way."""

    subject_model, may, fact_name = CutValue, "money", "cut_value"
    undoing = actions.undo_cut_value


class WaterLimits(ListPage):
    """From when how many days in water were too long."""

    model, table_class, filterset_class, title = WaterLimit, WaterLimitTable, WaterLimitFilter, _("Limit in water")
    queryset = WaterLimit.objects.standing().order_by("-on", "-pk")
    intro = _("Lots with stems in water for so many days after the cut are named on the first page. Where none is set: two days.")

    def links(self) -> list[Link]:
        return [Link(_("Set the limit"), reverse("growing:set_water_limit"), "field")]

    def get_context_data(self, **given: Any) -> dict[str, Any]:
        return super().get_context_data(row_template="growing/water_limits.html#row", **given)


class SetWaterLimit(Verb):
    """Set how many days in water are too long."""

    form_class, title, may = WaterLimitForm, _("Set the limit in water"), "field"

    def act(self, form: WaterLimitForm, **common: Any) -> WaterLimit:
        return actions.set_water_limit(**form.given(), **common)


class UndoWaterLimit(Undo):
    """Undo a limit in water."""

    subject_model, may, fact_name = WaterLimit, "field", "water_limit"
    undoing = actions.undo_water_limit
