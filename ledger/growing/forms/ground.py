"""Forms of plots, beds, species and varieties."""

from __future__ import annotations

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from ledger.facts.forms import NoDayForm, PercentField

from ..models import Plot, Species
from .fields import area_field, length_field, stems_field


class PlotForm(NoDayForm):
    """A new plot."""

    name = forms.CharField(label=_("Name"), max_length=80)
    kind = forms.ChoiceField(label=_("Kind"), choices=Plot.Kind.choices)
    area_m2 = area_field()
    wide_m = length_field(_("Width (m)"), help_text=_("For the plan of its beds; it is drawn as a square where this is empty."))


class BedForm(NoDayForm):
    """A new bed on a plot."""

    plot = forms.ModelChoiceField(queryset=Plot.objects.all(), label=_("Plot"))
    name = forms.CharField(label=_("Name"), max_length=80)
    area_m2 = area_field()


class SpeciesForm(NoDayForm):
    """A new species."""

    name = forms.CharField(label=_("Name"), max_length=80)
    botanical = forms.CharField(label=_("Botanical name"), max_length=120, required=False)
    caution = forms.CharField(
        label=_("Caution"), max_length=200, required=False,
        help_text=_("Poisonous or irritant? It is shown on its pages, picking lists and box labels."),
    )
    stems_per_m2 = stems_field(label=_("Expected stems to the m2 in a season"), required=False)
    days_to_dry = forms.IntegerField(label=_("Days to dry"), min_value=1, max_value=365, required=False)
    fresh_moisture_bp = PercentField(
        label=_("Water in it when fresh (% of its weight)"), required=False,
        help_text=_("With the next one it tells what a weighed lot should weigh dry. Leave both empty if unknown."),
    )
    dry_moisture_bp = PercentField(label=_("Water in it when dry enough (% of its weight)"), required=False)


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


class ChangeVarietyForm(NoDayForm):
    """Another name or colour; `seen` is what the form showed."""

    name = forms.CharField(label=_("Name"), max_length=80)
    colour = forms.CharField(label=_("Colour"), max_length=40, required=False)
    seen_name = forms.CharField(widget=forms.HiddenInput, required=False)
    seen_colour = forms.CharField(widget=forms.HiddenInput, required=False)


class RenameForm(NoDayForm):
    """Another name; `seen` is the name the form showed."""

    name = forms.CharField(label=_("Name"), max_length=80)
    seen = forms.CharField(widget=forms.HiddenInput, required=False)
