"""The form of what space costs in a year."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from ledger.facts.forms import MoneyField, VerbForm
from ledger.facts.models import CostObject


class SpaceChoice(forms.ModelChoiceField):
    """A plot or drying place with its unit of room."""

    def label_from_instance(self, space: Any) -> str:
        unit = "m2" if space.kind == "plot" else space.place.get_unit_display()
        return f"{space} ({unit})"


class YearOfSpaceForm(VerbForm):
    """What a plot or drying place is expected to cost in a year, and its normal use."""

    space = SpaceChoice(
        queryset=CostObject.objects.filter(kind__in=["plot", "place"]).select_related("place"), label=_("Plot or drying place")
    )
    year = forms.IntegerField(label=_("Year (in which it ends)"), min_value=1990, max_value=2200)
    expected_cost = MoneyField(label=_("Expected cost of the year"), help_text=_("Rent, rates, water, upkeep, heat, light."))
    room = forms.DecimalField(
        label=_("Room used in a usual year"), min_value=0, max_digits=9, decimal_places=2, required=False,
        help_text=_("m2 of a plot; hooks, metres, racks or crates of a place. Left empty: only what is used bears the cost."),
    )
    days = forms.IntegerField(
        label=_("on so many days of it"), min_value=1, max_value=366, required=False,
        help_text=_("Winter rest and the making ready of beds left out. Left empty: the whole year, 365 days."),
    )
    normal_source = forms.CharField(
        label=_("Where that comes from"), max_length=200, required=False, help_text=_("Such as: average of the last three years.")
    )
    field_order = ["space", "year", "expected_cost", "room", "days", "normal_source", "on"]

    def given(self) -> dict[str, Any]:
        """The action's arguments: a plot's use is kept in hundredths of m2 times days."""
        given = super().given()
        room, days = given.pop("room") or Decimal(0), given.pop("days") or 365
        parts = 100 if given["space"].kind == "plot" else 1
        return {**given, "normal_unit_days": int(room * days * parts)}
