"""The forms of hanging, moving and taking down."""

from __future__ import annotations

from typing import Any

from django import forms
from django.forms import BoundField
from django.utils.translation import gettext_lazy as _

from ledger.facts.forms import MoneyField, NoDayForm, PercentField, VerbForm
from ledger.facts.queries import today
from ledger.growing.models import Lot

from ..models import Place
from .losing import LosingForm

MOST_G = 10_000_000


class PlaceChoice(forms.ModelChoiceField):
    """A drying place with the room left in it today."""

    def label_from_instance(self, place: Any) -> str:
        left = max(place.room - place.room_taken, 0)
        told = {"place": place, "left": left, "room": place.room, "unit": place.get_unit_display()}
        return str(_("%(place)s (%(left)d of %(room)d %(unit)s free)") % told)


class LotChoice(forms.ModelChoiceField):
    """A lot with the stems of it still in water."""

    def label_from_instance(self, lot: Any) -> str:
        return str(_("%(lot)s, %(left)d in water") % {"lot": lot, "left": lot.stems_in_water})


class HangForm(VerbForm):
    """What to hang of a lot, and where; bunches of so many make up the stems."""

    lot = LotChoice(queryset=Lot.objects.none(), label=_("From the lot"))
    stems = forms.IntegerField(label=_("Stems"), min_value=1, max_value=1_000_000, required=False)
    place = PlaceChoice(queryset=Place.objects.none(), label=_("Place"))
    room = forms.IntegerField(
        label=_("Room it takes"), min_value=1, initial=1, help_text=_("In the place's own unit: hooks, metres, racks or crates.")
    )
    bundles = forms.IntegerField(label=_("Bundles or bunches, if counted"), min_value=1, max_value=100_000, required=False)
    bunch_stems = forms.IntegerField(
        label=_("Stems in each, if they are bunches already"), min_value=1, max_value=1_000, required=False,
        help_text=_(
            "Hung as bunches of so many, to come down as bunches. With the number of bunches these make up the stems, "
            "whatever stands above."
        ),
    )
    trial = forms.BooleanField(label=_("A trial: unusual material, judged apart"), required=False)
    field_order = ["lot", "stems", "place", "room", "bundles", "bunch_stems", "trial", "on"]
    ASIDE = ("bundles", "bunch_stems", "trial")

    def __init__(self, *args: Any, **given: Any) -> None:
        super().__init__(*args, **given)
        self.fields["lot"].queryset = Lot.objects.in_water(today()).select_related(  # type: ignore[attr-defined]
            "planting__variety__species", "planting__bed__plot"
        )
        self.fields["place"].queryset = Place.objects.with_room_taken(today())  # type: ignore[attr-defined]

    def first(self) -> list[BoundField]:
        """The fields always asked for, but the day."""
        return [self[name] for name in self.fields if name not in {*self.ASIDE, "form_key", "on"}]

    def aside(self) -> list[BoundField]:
        """The fields that are seldom wanted."""
        return [self[name] for name in self.ASIDE]

    def clean(self) -> dict[str, Any]:
        given = super().clean() or {}
        if given.get("bundles") and given.get("bunch_stems"):
            given["stems"] = given["bundles"] * given["bunch_stems"]
        if not given.get("stems") and "stems" not in self.errors:
            self.add_error("stems", forms.ValidationError(_("Say how many stems, or bunches of how many."), code="required"))
        return given


class MoveForm(VerbForm):
    """How many of a hanging's stems go where."""

    place = PlaceChoice(queryset=Place.objects.none(), label=_("To the place"))
    stems = forms.IntegerField(label=_("Stems moved"), min_value=1, max_value=1_000_000)
    room = forms.IntegerField(label=_("Room they take there"), min_value=1, help_text=_("In that place's own unit."))
    field_order = ["place", "stems", "room", "on"]

    def __init__(self, *args: Any, **given: Any) -> None:
        super().__init__(*args, **given)
        self.fields["place"].queryset = Place.objects.with_room_taken(today())  # type: ignore[attr-defined]


class TakeDownForm(LosingForm):
    """How many came down, and what was lost of them: up to three reasons at once."""

    stems = forms.IntegerField(label=_("Stems taken down"), min_value=1, max_value=1_000_000)
    dried_g = forms.IntegerField(
        label=_("Weight of the sound ones (g)"), min_value=1, max_value=MOST_G, required=False,
        help_text=_("Leave empty if nobody weighed them.")
    )
    before, after = ("stems",), ("dried_g", "on")


class OddmentsForm(VerbForm):
    """What was kept of the lost stems, and what it is worth."""

    stems = forms.IntegerField(label=_("Stems kept of the lost ones"), min_value=1, max_value=1_000_000)
    value = MoneyField(
        label=_("Worth as scrap, all of them"),
        help_text=_("Without tax: petals, heads and short pieces, at what they would fetch as they are."),
    )
    field_order = ["stems", "value", "on"]


class TrialForm(NoDayForm):
    """Whether a hanging is a trial."""

    trial = forms.BooleanField(label=_("A trial: unusual material, judged apart"), required=False)


class DisasterForm(VerbForm):
    """What happened to a hanging, and the usual loss to measure it by."""

    why = forms.CharField(label=_("What happened"), max_length=200)
    norm_bp = PercentField(
        label=_("Usual loss (% of stems hung)"), max_value=99, required=False,
        help_text=_("Leave empty for the usual loss entered, or else learnt from earlier hangings."),
    )
    field_order = ["why", "norm_bp", "on"]
