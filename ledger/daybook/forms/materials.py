"""The forms of materials."""

from __future__ import annotations

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from ledger.facts.forms import NoDayForm, VerbForm

from ..models import Material
from ..queries import offered
from .spending import OneThingField, asked_for, find_field, found_field, named

MOST = 10**8


class MaterialChoice(forms.ModelChoiceField):
    """A material with what it is counted in."""

    def __init__(self, **given: Any) -> None:
        super().__init__(queryset=Material.objects.all(), label=_("Material"), **given)

    def label_from_instance(self, material: Any) -> str:
        return f"{material} ({material.get_unit_display()})"


class MaterialForm(NoDayForm):
    """A new material."""

    name = forms.CharField(label=_("Name"), max_length=80)
    unit = forms.ChoiceField(label=_("Counted in"), choices=Material.Unit.choices)
    by_count = forms.BooleanField(
        label=_("Too small to note each use"), required=False,
        help_text=_("Rubber bands, say: counted at the year's end, what is gone is shared over the year's use."),
    )


class RenameMaterialForm(NoDayForm):
    """Another name; `seen` is the name the form showed."""

    name = forms.CharField(label=_("Name"), max_length=80)
    seen = forms.CharField(widget=forms.HiddenInput, required=False)


class UseForm(VerbForm):
    """What of a material went into one thing."""

    material = MaterialChoice()
    quantity = forms.IntegerField(label=_("How many, of its unit"), min_value=1, max_value=MOST)
    spent_on = OneThingField(label=_("Used for"))
    find = find_field()
    found = found_field()
    note = forms.CharField(label=_("Note"), required=False, max_length=200)
    field_order = ["material", "quantity", "spent_on", "find", "on", "note"]

    def __init__(self, *args: Any, **given: Any) -> None:
        super().__init__(*args, **given)
        self.initial["found"] = asked_for(self)
        self.fields["spent_on"].offer(offered(asked_for(self), named(self, "spent_on")))  # type: ignore[attr-defined]

    def given(self) -> dict[str, Any]:
        return {name: value for name, value in super().given().items() if name not in {"find", "found"}}


class CountForm(VerbForm):
    """How much of a material there is."""

    material = MaterialChoice()
    counted = forms.IntegerField(label=_("Counted, in its unit"), min_value=0, max_value=MOST)
    note = forms.CharField(label=_("Note"), required=False, max_length=200)
    field_order = ["material", "counted", "on", "note"]
