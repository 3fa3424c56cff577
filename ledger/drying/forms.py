"""The forms of drying: few fields, for one hand in a loft."""

from __future__ import annotations

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from ledger.facts.forms import NoDayForm, PercentField, VerbForm
from ledger.facts.queries import today
from ledger.growing.models import Lot, Variety

from .models import Loss, Place

LOSS_ROWS = (1, 2, 3)


class PlaceChoice(forms.ModelChoiceField):
    """A drying place with the room left in it today."""

    def label_from_instance(self, place: Any) -> str:
        return str(
            _("%(place)s (%(left)d of %(room)d %(unit)s free)")
            % {"place": place, "left": place.room - place.room_taken, "room": place.room, "unit": place.get_unit_display()}
        )


class LotChoice(forms.ModelChoiceField):
    """A lot with the stems of it still in water."""

    def label_from_instance(self, lot: Any) -> str:
        return str(_("%(lot)s, %(left)d in water") % {"lot": lot, "left": lot.stems_in_water})


class HangForm(VerbForm):
    """What to hang of a lot, and where."""

    lot = LotChoice(queryset=Lot.objects.none(), label=_("From the lot"))
    stems = forms.IntegerField(label=_("Stems"), min_value=1, max_value=1_000_000)
    place = PlaceChoice(queryset=Place.objects.none(), label=_("Place"))
    room = forms.IntegerField(
        label=_("Room it takes"), min_value=1, initial=1, help_text=_("In the place's own unit: hooks, metres, racks or crates.")
    )
    bundles = forms.IntegerField(label=_("Bundles, if counted"), min_value=1, required=False)
    field_order = ["lot", "stems", "place", "room", "bundles", "on"]

    def __init__(self, *args: Any, **given: Any) -> None:
        super().__init__(*args, **given)
        self.fields["lot"].queryset = Lot.objects.in_water(today()).select_related(  # type: ignore[attr-defined]
            "planting__variety__species", "planting__bed__plot"
        )
        self.fields["place"].queryset = Place.objects.with_room_taken(today())  # type: ignore[attr-defined]


class TakeDownForm(VerbForm):
    """How many came down, and what was lost of them: up to three reasons at once."""

    stems = forms.IntegerField(label=_("Stems taken down"), min_value=1, max_value=1_000_000)
    dried_g = forms.IntegerField(
        label=_("Weight of the sound ones (g)"), min_value=1, required=False, help_text=_("Leave empty if nobody weighed them.")
    )
    field_order = ["stems", *(f"{what}_{row}" for row in LOSS_ROWS for what in ("lost", "reason")), "dried_g", "on"]

    def __init__(self, *args: Any, **given: Any) -> None:
        super().__init__(*args, **given)
        for row in LOSS_ROWS:
            self.fields[f"lost_{row}"] = forms.IntegerField(label=_("Lost of these"), min_value=0, required=False)
            self.fields[f"reason_{row}"] = forms.ChoiceField(
                label=_("because"), choices=[("", "–"), *Loss.Reason.choices], required=False
            )
        self.order_fields(self.field_order)

    def loss_rows(self) -> list[tuple[Any, Any]]:
        """The pairs of fields, number and reason, for the page."""
        return [(self[f"lost_{row}"], self[f"reason_{row}"]) for row in LOSS_ROWS]

    def clean(self) -> dict[str, Any]:
        given = super().clean() or {}
        for row in LOSS_ROWS:
            if given.get(f"lost_{row}") and not given.get(f"reason_{row}"):
                self.add_error(f"reason_{row}", forms.ValidationError(_("Say why they were lost."), code="no_reason"))
        return given

    def losses(self) -> dict[str, int]:
        """Stems lost by reason; a reason named twice counts together."""
        lost: dict[str, int] = {}
        for row in LOSS_ROWS:
            number, reason = self.cleaned_data[f"lost_{row}"] or 0, self.cleaned_data[f"reason_{row}"]
            if number:
                lost[reason] = lost.get(reason, 0) + number
        return lost


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


class DisasterForm(VerbForm):
    """What happened to a hanging, and the usual loss to measure it by."""

    why = forms.CharField(label=_("What happened"), max_length=200)
    norm_bp = PercentField(
        label=_("Usual loss (% of stems hung)"), max_value=99, required=False,
        help_text=_("Leave empty for the usual loss entered, or else learnt from earlier hangings."),
    )
    field_order = ["why", "norm_bp", "on"]
