"""Forms of planting, in a bed or without one, and of expecting."""

from __future__ import annotations

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from ledger.facts.forms import MoneyField, VerbForm

from ..models import Planting, Variety
from ..queries import free_area
from .fields import area_field, bed_field, beds_with_free, seasons_field, stems_field, why_field

SEASON_HELP = _(
    "Of a biennial the season it flowers in: the next one, or the one after. Of a perennial its first productive one."
)


class AllThatIsFree(VerbForm):
    """A form with a bed and an area: left empty, the area is all that is free of the bed."""

    def __init__(self, *args: Any, **given: Any) -> None:
        super().__init__(*args, **given)
        self.fields["bed"].queryset = beds_with_free()  # type: ignore[attr-defined]

    def clean(self) -> dict[str, Any]:
        given = super().clean() or {}
        if given.get("area_m2") is None and "area_m2" not in self.errors and given.get("bed") and given.get("on"):
            given["area_m2"] = free_area(given["bed"], given["on"])
            if given["area_m2"] <= 0:
                says = _("Nothing of it is free that day. Enter first what was cleared of it.")
                self.add_error("bed", forms.ValidationError(says, code="no_room"))
        return given


class PlantForm(AllThatIsFree):
    """What is planted where; the expectation is offered from what is known."""

    variety = forms.ModelChoiceField(queryset=Variety.objects.select_related("species"), label=_("Variety"))
    bed = bed_field()
    area_m2 = area_field(required=False, help_text=_("Left empty: all that is free in the bed."))
    season = forms.IntegerField(label=_("Season in which it is cut"), min_value=1990, max_value=2200, help_text=SEASON_HELP)
    expected_stems = stems_field(
        label=_("Expected stems of the season"), required=False,
        help_text=_("Left empty: last season's to the m2, else the species list's. Without any its cost is too early to say."),
    )
    planned_cost = MoneyField(label=_("Planned cost of the season in all"), required=False)
    perennial = forms.BooleanField(label=_("Perennial"), required=False)
    productive_seasons = seasons_field(initial=1)
    field_order = ["variety", "bed", "area_m2", "on", "season"]


class BeginForm(VerbForm):
    """What begins without a bed."""

    variety = forms.ModelChoiceField(queryset=Variety.objects.select_related("species"), label=_("Variety"))
    origin = forms.ChoiceField(
        label=_("How it begins"), choices=[one for one in Planting.Origin.choices if one[0] != Planting.Origin.BED],
        initial=Planting.Origin.TRAYS,
    )
    plants = stems_field(label=_("Plants raised, where counted"), required=False)
    season = forms.IntegerField(label=_("Season in which it is cut"), min_value=1990, max_value=2200, help_text=SEASON_HELP)
    expected_stems = stems_field(
        label=_("Expected stems of the season"), required=False,
        help_text=_("Left empty for trays: reckoned from the area when they are planted out."),
    )
    perennial = forms.BooleanField(label=_("Perennial"), required=False)
    productive_seasons = seasons_field(initial=1)
    field_order = ["variety", "origin", "plants", "on", "season"]


class ExpectForm(VerbForm):
    """What a planting is now expected to give and cost."""

    season = forms.IntegerField(label=_("Season"), min_value=1990, max_value=2200)
    stems = stems_field(label=_("Expected stems of the season in all"))
    planned_cost = MoneyField(
        label=_("Planned cost of the season in all"), required=False, help_text=_("What has been spent already included.")
    )
    field_order = ["stems", "planned_cost", "season", "on"]


class GoneOverForm(VerbForm):
    """About so many stems spoiled uncut."""

    stems = stems_field(label=_("About so many stems"))
    why = why_field(help_text=_("Rain, heat, no time to cut, unsold."))
    field_order = ["stems", "why", "on"]
