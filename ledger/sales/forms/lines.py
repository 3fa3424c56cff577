"""Forms of what is said of one order or one of its lines after it was taken."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from ledger.facts.forms import DayField, MoneyField, VerbForm
from ledger.facts.ruled import MOST
from ledger.sales.models import OrderLine, Parcel
from ledger.stock.models import Content, Line


class LaterForm(VerbForm):
    """So many to come later, hoped for by a day."""

    bunches = forms.IntegerField(label=_("How many"), min_value=1, max_value=MOST)
    hoped_for = DayField(label=_("Hoped for by"), required=False, help_text=_("Empty: nobody knows yet."))
    field_order = ["bunches", "hoped_for", "on"]


class StandInForm(VerbForm):
    """Another line in the place of one that lacks."""

    line = forms.ModelChoiceField(queryset=Line.objects.whole(), label=_("Instead"))
    bunches = forms.IntegerField(label=_("How many"), min_value=1, max_value=MOST)
    price = MoneyField(label=_("Price of one, net"), required=False, help_text=_("Empty: as for what was asked."))
    field_order = ["line", "bunches", "price", "on"]


class OrderChangeForm(VerbForm):
    """When an order is wanted, its reference, its carriage."""

    wanted_on = DayField(label=_("Wanted for"), required=False)
    reference = forms.CharField(label=_("Customer's reference"), max_length=60, required=False)
    carriage = MoneyField(label=_("Carriage, net"), required=False, help_text=_("Empty: none."))
    field_order = ["wanted_on", "reference", "carriage", "on"]

    def given(self) -> dict[str, Any]:
        said = super().given()
        return {**said, "carriage": said["carriage"] or 0}


class ParcelForm(VerbForm):
    """A day, and which parcel goes where several are here."""

    parcel = forms.TypedChoiceField(label=_("Which parcel"), widget=forms.RadioSelect, coerce=int)
    field_order = ["parcel", "on"]

    def __init__(self, *args: Any, parcels: Sequence[tuple[Parcel, Sequence[tuple[OrderLine, int]]]], **given: Any) -> None:
        super().__init__(*args, **given)
        self.parcels = {parcel.pk: parcel for parcel, _inside in parcels}
        if len(parcels) > 1:
            named = [(parcel.pk, _inside_of(parcel, inside)) for parcel, inside in parcels]
            self.fields["parcel"].choices = named  # type: ignore[attr-defined]
        else:
            del self.fields["parcel"]

    @property
    def meant(self) -> Parcel | None:
        """The parcel chosen; None where there was no choice."""
        return self.parcels[self.cleaned_data["parcel"]] if "parcel" in self.fields else None


def _inside_of(parcel: Parcel, inside: Sequence[tuple[OrderLine, int]]) -> str:
    return f"{parcel}: " + ", ".join(f"{bunches} {line}" for line, bunches in inside)


class SendForm(ParcelForm):
    """Which parcel, the day, and what of the carriage goes with it where some is left and may be seen."""

    carriage = MoneyField(label=_("Carriage that goes with it, net"), required=False, help_text=_("Empty: none now."))
    field_order = ["parcel", "carriage", "on"]

    def __init__(self, *args: Any, left: int, **given: Any) -> None:
        super().__init__(*args, **given)
        if left:
            self.fields["carriage"].initial = left
        else:
            del self.fields["carriage"]

    @property
    def carried(self) -> int | None:
        """What was typed, nought where it was left empty; None where it was not asked."""
        return (self.cleaned_data["carriage"] or 0) if "carriage" in self.fields else None


class SubstituteForm(VerbForm):
    """Other bunches packed in the place of what cannot be found."""

    place = forms.TypedChoiceField(label=_("Taken instead"), widget=forms.RadioSelect, coerce=int)
    bunches = forms.IntegerField(label=_("How many"), min_value=1, max_value=MOST)
    field_order = ["place", "bunches", "on"]

    def __init__(self, *args: Any, places: Sequence[Content], **given: Any) -> None:
        super().__init__(*args, **given)
        self.places = {place.pk: place for place in places}
        self.fields["place"].choices = [(place.pk, self._named(place)) for place in places]  # type: ignore[attr-defined]

    def _named(self, place: Content) -> str:
        where = f"{place.box.shelf} {place.box}".strip() if place.box else _("not yet boxed")
        return _("%(where)s: %(line)s, %(n)d there") % {"where": where, "line": place.batch.line, "n": place.bunches}

    @property
    def taken(self) -> Content:
        """The place chosen."""
        return self.places[self.cleaned_data["place"]]
