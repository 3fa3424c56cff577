"""The forms of drying: few fields, for one hand in a loft."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from django import forms
from django.forms import BoundField
from django.utils.translation import gettext_lazy as _

from ledger.facts.forms import NoDayForm, PercentField, VerbForm
from ledger.facts.queries import today
from ledger.facts.ruled import SheetForm
from ledger.growing.models import Lot, Variety

from .actions import DownRow
from .models import COLDEST, HOTTEST, Hanging, Loss, Place
from .queries import Up

LOSS_ROWS = (1, 2, 3)
MOST_G = 10_000_000


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
    bundles = forms.IntegerField(label=_("Bundles, if counted"), min_value=1, max_value=1_000_000, required=False)
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
        label=_("Weight of the sound ones (g)"), min_value=1, max_value=MOST_G, required=False,
        help_text=_("Leave empty if nobody weighed them.")
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


class TakeDownRoundForm(SheetForm):
    """A row for each hanging up in a place: how many came down, or all of it, and what was lost of these."""

    def __init__(self, *args: Any, ups: Sequence[Up], **given: Any) -> None:
        super().__init__(*args, **given)
        self.ups = ups
        for up in ups:
            self._add_row(up.hanging)

    def _add_row(self, hanging: Hanging) -> None:
        key, what = hanging.pk, {"what": hanging.parting.lot.planting.variety, "on": hanging.on}
        self.number(f"n_{key}", _("%(what)s hung %(on)s: taken down") % what)
        self.tick(f"all_{key}", _("%(what)s hung %(on)s: all of it") % what)
        self.number(f"lost_{key}", _("%(what)s hung %(on)s: lost of these") % what)
        self.choice(f"why_{key}", _("%(what)s hung %(on)s: lost because") % what, [("", "–"), *Loss.Reason.choices])

    def sheet(self) -> Iterator[tuple[Up, list[tuple[Any, BoundField]]]]:
        """Each hanging with its labelled fields."""
        words = {"n": _("Taken down"), "lost": _("Lost"), "why": _("because"), "all": _("All of it is down")}
        for up in self.ups:
            yield up, [(word, self[f"{name}_{up.hanging.pk}"]) for name, word in words.items()]

    def clean(self) -> dict[str, Any]:
        given = super().clean()
        for key in (up.hanging.pk for up in self.ups if given.get(f"lost_{up.hanging.pk}")):
            if not given.get(f"why_{key}"):
                self.add_error(f"why_{key}", forms.ValidationError(_("Say why they were lost."), code="no_reason"))
            if not given.get(f"n_{key}") and not given.get(f"all_{key}"):
                self.add_error(f"n_{key}", forms.ValidationError(_("Say how many came down."), code="no_count"))
        return given

    def rows(self) -> list[DownRow]:
        """The rows filled in."""
        return [row for row in (self._row(up.hanging) for up in self.ups) if row.stems]

    def _row(self, hanging: Hanging) -> DownRow:
        given = {name: self.cleaned_data[f"{name}_{hanging.pk}"] for name in ("n", "all", "lost", "why")}
        stems = given["n"] or (hanging.stems_up if given["all"] else 0)
        return DownRow(hanging, stems, {given["why"]: given["lost"]} if given["lost"] else {})


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


class DisasterForm(VerbForm):
    """What happened to a hanging, and the usual loss to measure it by."""

    why = forms.CharField(label=_("What happened"), max_length=200)
    norm_bp = PercentField(
        label=_("Usual loss (% of stems hung)"), max_value=99, required=False,
        help_text=_("Leave empty for the usual loss entered, or else learnt from earlier hangings."),
    )
    field_order = ["why", "norm_bp", "on"]
