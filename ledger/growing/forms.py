"""The forms of growing: few fields, for wet hands."""

from __future__ import annotations

from datetime import timedelta
from decimal import Decimal
from typing import Any

from django import forms
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from ledger.facts.forms import MoneyField, NoDayForm, VerbForm
from ledger.facts.queries import today

from .models import MOST_STEMS, Bed, Lot, Planting, Plot, Species, Variety
from .queries import free_area

DAYS_TO_ENTER_LATE = timedelta(days=120)


def _area(**given: Any) -> forms.DecimalField:
    return forms.DecimalField(label=_("Area (m2)"), min_value=Decimal("0.01"), max_digits=9, decimal_places=2, **given)


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


class BedChoice(forms.ModelChoiceField):
    """A bed with the area free in it today."""

    def label_from_instance(self, bed: Any) -> str:
        return str(_("%(bed)s (%(free)s of %(area)s m2 free)") % {"bed": bed, "free": bed.free_m2, "area": bed.area_m2})


class PlantForm(VerbForm):
    """What is planted where; the expectation is offered from what is known."""

    variety = forms.ModelChoiceField(queryset=Variety.objects.select_related("species"), label=_("Variety"))
    bed = BedChoice(queryset=Bed.objects.none(), label=_("Bed"))
    area_m2 = _area(required=False, help_text=_("Left empty: all that is free in the bed."))
    season = forms.IntegerField(
        label=_("Season in which it is cut"), min_value=1990, max_value=2200,
        help_text=_("The first productive season of a perennial."),
    )
    expected_stems = _stems(
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
        lately = Planting.objects.lately_in_beds(today() - DAYS_TO_ENTER_LATE)
        opened_from = str(self.initial.get("planting", ""))
        named = Planting.objects.standing().filter(pk=opened_from if opened_from.isdecimal() else None)
        either = Q(pk__in=lately.order_by().values("pk")) | Q(pk__in=named.values("pk"))
        self.fields["planting"].queryset = Planting.objects.filter(either).whole().order_by(  # type: ignore[attr-defined]
            "bed__plot__name", "bed__name", "-season", "pk"
        )


class PartForm(VerbForm):
    """Stems that leave a lot and are not sold or hung."""

    stems = _stems(label=_("Stems"))
    why = forms.CharField(label=_("Why"), max_length=120, required=False)
    field_order = ["stems", "why", "on"]
