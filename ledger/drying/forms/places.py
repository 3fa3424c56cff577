"""The forms of drying places, their readings and usual losses."""

from __future__ import annotations

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from ledger.facts.forms import NoDayForm, PercentField, VerbForm
from ledger.growing.models import Variety

from ..models import COLDEST, HOTTEST, Place


class DegreesField(forms.DecimalField):
    """A temperature in degrees Celsius, kept as whole tenths."""

    def __init__(self, **given: Any) -> None:
        super().__init__(min_value=COLDEST // 10, max_value=HOTTEST // 10, decimal_places=1, **given)

    def clean(self, value: Any) -> int | None:  # type: ignore[override]
        degrees = super().clean(value)
        return None if degrees is None else int(degrees * 10)


class ReadingForm(VerbForm):
    """What the instruments of a place say."""

    humidity_percent = forms.IntegerField(label=_("Humidity (%)"), min_value=0, max_value=100, required=False)
    temperature_tenths_c = DegreesField(label=_("Temperature (°C)"), required=False)
    at = forms.TimeField(label=_("Time, if it matters"), required=False, widget=forms.TimeInput({"type": "time"}, format="%H:%M"))
    field_order = ["humidity_percent", "temperature_tenths_c", "on", "at"]


class DampLimitForm(VerbForm):
    """The humidity above which a place is damp again."""

    humidity_percent = forms.IntegerField(
        label=_("Damp above (% humidity)"), min_value=1, max_value=100,
        help_text=_("Common practice keeps dried stems below about 60; no source. None is in force until you set one."),
    )
    field_order = ["humidity_percent", "on"]


class PlaceForm(NoDayForm):
    """A new drying place."""

    name = forms.CharField(label=_("Name"), max_length=80)
    unit = forms.ChoiceField(label=_("Unit of room"), choices=Place.Unit.choices)
    room = forms.IntegerField(label=_("Room in all"), min_value=1, max_value=100_000)


class RenamePlaceForm(NoDayForm):
    """Another name for a drying place; `seen` is the name the form showed."""

    name = forms.CharField(label=_("Name"), max_length=80)
    seen = forms.CharField(widget=forms.HiddenInput, required=False)


class LossNormForm(VerbForm):
    """The usual loss of a variety from a day on."""

    variety = forms.ModelChoiceField(queryset=Variety.objects.select_related("species"), label=_("Variety"))
    share_bp = PercentField(label=_("Usual loss (% of stems hung)"), max_value=99)
    field_order = ["variety", "share_bp", "on"]
