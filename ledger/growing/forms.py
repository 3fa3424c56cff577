"""The forms of growing: few fields, for wet hands."""

from __future__ import annotations

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from ledger.facts.forms import MoneyField, NoDayForm, VerbForm

from .models import MOST_STEMS, Bed, Lot, Planting, Plot, Species, Variety


def _area(**given: Any) -> forms.DecimalField:
    return forms.DecimalField(label=_("Area (m2)"), min_value=0, max_digits=9, decimal_places=2, **given)


def _stems(**given: Any) -> forms.IntegerField:
    return forms.IntegerField(min_value=1, max_value=MOST_STEMS, **given)


class PlotForm(NoDayForm):
    """A new plot."""

    name = forms.CharField(label=_("Name"), max_length=80)
    kind = forms.ChoiceField(label=_("Kind"), choices=Plot.Kind.choices)
    area_m2 = _area()


class BedForm(NoDayForm):
    """A new bed on a plot."""

    plot = forms.ModelChoiceField(queryset=Plot.objects.all(), label=_("Plot"))
    name = forms.CharField(label=_("Name"), max_length=80)
    area_m2 = _area()


class SpeciesForm(NoDayForm):
    """A new species."""

    name = forms.CharField(label=_("Name"), max_length=80)
    botanical = forms.CharField(label=_("Botanical name"), max_length=120, required=False)
    caution = forms.CharField(
        label=_("Caution"), max_length=200, required=False,
        help_text=_("Poisonous or irritant? It is shown on its pages, picking lists and box labels."),
    )
    stems_per_m2 = _stems(label=_("Expected stems to the m2 in a season"), required=False)
    days_to_dry = forms.IntegerField(label=_("Days to dry"), min_value=1, max_value=365, required=False)


class ChangeSpeciesForm(SpeciesForm):
    """What is known of a species, changed; `seen` is what the form showed."""

    seen_name = forms.CharField(widget=forms.HiddenInput, required=False)
    seen_caution = forms.CharField(widget=forms.HiddenInput, required=False)

    def changes(self) -> dict[str, Any]:
        """The fields to change."""
        return {name: value for name, value in self.given().items() if not name.startswith("seen_")}

    def seen(self) -> dict[str, str]:
        """What the form showed of the fields that two people might change at once."""
        return {"name": self.cleaned_data["seen_name"], "caution": self.cleaned_data["seen_caution"]}


class VarietyForm(NoDayForm):
    """A new variety."""

    species = forms.ModelChoiceField(queryset=Species.objects.all(), label=_("Species"))
    name = forms.CharField(label=_("Name"), max_length=80)
    colour = forms.CharField(label=_("Colour"), max_length=40, required=False)


class PlantForm(VerbForm):
    """What is planted where; the expectation is offered from what is known."""

    variety = forms.ModelChoiceField(queryset=Variety.objects.select_related("species"), label=_("Variety"))
    bed = forms.ModelChoiceField(queryset=Bed.objects.of_plots(), label=_("Bed"))
    area_m2 = _area()
    season = forms.IntegerField(
        label=_("Season in which it is cut"), min_value=1990, max_value=2200,
        help_text=_("The first productive season of a perennial."),
    )
    expected_stems = _stems(
        label=_("Expected stems of the season"), required=False,
        help_text=_("Left empty: last season's to the m2, else the species list's. Without a number its cost is too early to say."),
    )
    perennial = forms.BooleanField(label=_("Perennial"), required=False)
    productive_seasons = forms.IntegerField(label=_("Productive seasons of a perennial"), min_value=1, max_value=60, initial=1)
    field_order = ["variety", "bed", "area_m2", "on", "season"]


class ExpectForm(VerbForm):
    """What a planting is now expected to give and cost."""

    season = forms.IntegerField(label=_("Season"), min_value=1990, max_value=2200)
    stems = _stems(label=_("Expected stems of the season in all"))
    planned_cost = MoneyField(
        label=_("Planned cost of the season in all"), required=False, help_text=_("What has been spent already included.")
    )
    field_order = ["stems", "planned_cost", "season", "on"]


class ClearForm(VerbForm):
    """The day a planting left its bed."""

    why = forms.CharField(label=_("Why"), max_length=120, required=False)


class CutForm(VerbForm):
    """What was cut, by stems or by bundles."""

    planting = forms.ModelChoiceField(queryset=Planting.objects.none(), label=_("From the planting"))
    stems = _stems(label=_("Stems"), required=False)
    bundles = forms.IntegerField(label=_("or bundles"), min_value=1, max_value=MOST_STEMS, required=False)
    per_bundle = forms.IntegerField(label=_("of so many stems"), min_value=1, max_value=10_000, required=False)
    stage = forms.ChoiceField(label=_("Stage when cut"), choices=Lot.Stage.choices)
    field_order = ["planting", "stems", "bundles", "per_bundle", "stage", "on"]

    def __init__(self, *args: Any, **given: Any) -> None:
        super().__init__(*args, **given)
        standing = Planting.objects.standing().with_cleared_on()
        self.fields["planting"].queryset = standing.select_related(  # type: ignore[attr-defined]
            "variety__species", "bed__plot"
        ).order_by("-season", "bed__plot__name", "bed__name", "pk")


class PartForm(VerbForm):
    """Stems that leave a lot and are not sold or hung."""

    stems = _stems(label=_("Stems"))
    why = forms.CharField(label=_("Why"), max_length=120, required=False)
    field_order = ["stems", "why", "on"]
