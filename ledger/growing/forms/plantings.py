"""Forms of planting, expecting and clearing."""

from __future__ import annotations

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from ledger.facts.forms import MoneyField, VerbForm
from ledger.facts.queries import today

from ..models import Bed, Variety
from ..queries import free_area
from .fields import area_field, stems_field


class BedChoice(forms.ModelChoiceField):
    """A bed with the area free in it today."""

    def label_from_instance(self, bed: Any) -> str:
        return str(_("%(bed)s (%(free)s of %(area)s m2 free)") % {"bed": bed, "free": bed.free_m2, "area": bed.area_m2})


class PlantForm(VerbForm):
    """What is planted where; the expectation is offered from what is known."""

    variety = forms.ModelChoiceField(queryset=Variety.objects.select_related("species"), label=_("Variety"))
    bed = BedChoice(queryset=Bed.objects.none(), label=_("Bed"))
    area_m2 = area_field(required=False, help_text=_("Left empty: all that is free in the bed."))
    season = forms.IntegerField(
        label=_("Season in which it is cut"), min_value=1990, max_value=2200,
        help_text=_("The first productive season of a perennial."),
    )
    expected_stems = stems_field(
        label=_("Expected stems of the season"), required=False,
        help_text=_("Left empty: last season's to the m2, else the species list's. Without any its cost is too early to say."),
    )
    planned_cost = MoneyField(label=_("Planned cost of the season in all"), required=False)
    perennial = forms.BooleanField(label=_("Perennial"), required=False)
    productive_seasons = forms.IntegerField(label=_("Productive seasons of a perennial"), min_value=1, max_value=60, initial=1)
    field_order = ["variety", "bed", "area_m2", "on", "season"]

    def __init__(self, *args: Any, **given: Any) -> None:
        super().__init__(*args, **given)
        self.fields["bed"].queryset = Bed.objects.of_plots().with_free(today())  # type: ignore[attr-defined]

    def clean(self) -> dict[str, Any]:
        given = super().clean() or {}
        if given.get("area_m2") is None and "area_m2" not in self.errors and given.get("bed") and given.get("on"):
            given["area_m2"] = free_area(given["bed"], given["on"])
            if given["area_m2"] <= 0:
                self.add_error("bed", forms.ValidationError(_("Nothing of it is free from that day on."), code="no_room"))
        return given


class ExpectForm(VerbForm):
    """What a planting is now expected to give and cost."""

    season = forms.IntegerField(label=_("Season"), min_value=1990, max_value=2200)
    stems = stems_field(label=_("Expected stems of the season in all"))
    planned_cost = MoneyField(
        label=_("Planned cost of the season in all"), required=False, help_text=_("What has been spent already included.")
    )
    field_order = ["stems", "planned_cost", "season", "on"]


class ClearForm(VerbForm):
    """The day a planting left its bed."""

    why = forms.CharField(label=_("Why"), max_length=120, required=False)


class GoneOverForm(VerbForm):
    """About so many stems spoiled uncut."""

    stems = stems_field(label=_("About so many stems"))
    why = forms.CharField(label=_("Why"), max_length=120, required=False, help_text=_("Rain, heat, no time to cut, unsold."))
    field_order = ["stems", "why", "on"]
