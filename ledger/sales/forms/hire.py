"""Forms of things for hire."""

from __future__ import annotations

from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy as _

from ledger.facts.forms import DayField, MoneyField, NoDayForm, VerbForm
from ledger.sales.models import HireItem
from ledger.sales.models.jobs import MOST_PIECES


class HireItemForm(NoDayForm):
    """What is proposed for a thing."""

    name = forms.CharField(label=_("Name"), max_length=80, help_text=_("Such as: stone jar, large."))
    charge = MoneyField(label=_("Hire of one"), initial=0, help_text=_("Proposed for a job; kept as the job's way keeps prices."))
    breakage = MoneyField(label=_("Charge for one broken or lost"), initial=0)
    note = forms.CharField(label=_("Note"), max_length=200, required=False)


class NewHireItemForm(HireItemForm):
    """A new kind of thing, and how many there are."""

    waits = False
    owned = forms.IntegerField(label=_("How many there are"), min_value=0, max_value=MOST_PIECES, initial=1)
    on = DayField(label=_("From the day"))  # type: ignore[assignment]
    field_order = ["name", "owned", "charge", "breakage", "note", "on"]


class ChangeHireItemForm(HireItemForm):
    """Another name, note or proposal; the hidden fields keep what the form showed."""

    waits = False
    seen_name = forms.CharField(widget=forms.HiddenInput, required=False, strip=False)
    seen_charge = forms.CharField(widget=forms.HiddenInput, required=False)
    seen_breakage = forms.CharField(widget=forms.HiddenInput, required=False)
    seen_note = forms.CharField(widget=forms.HiddenInput, required=False, strip=False)

    def given(self) -> dict[str, Any]:
        """The fields, and `seen` by field."""
        given = super().given()
        return {**{k: v for k, v in given.items() if not k.startswith("seen_")},
                "seen": {k.removeprefix("seen_"): v for k, v in given.items() if k.startswith("seen_")}}


class CountHireItemForm(VerbForm):
    """More or fewer of a thing from a day on."""

    more = forms.IntegerField(
        label=_("How many more"), min_value=-MOST_PIECES, max_value=MOST_PIECES,
        help_text=_("With a minus where there are fewer. Those broken or lost on a hire come off by themselves."),
    )
    why = forms.CharField(label=_("Why"), max_length=120, required=False, help_text=_("Such as: bought, given away, found."))
    field_order = ["more", "why", "on"]

    def clean_more(self) -> int:
        more: int = self.cleaned_data["more"]
        if not more:
            raise ValidationError(_("Say how many more or fewer."), code="nothing_said")
        return more


class ItemChoice(forms.ModelChoiceField):
    """A thing with how many there are."""

    def label_from_instance(self, item: Any) -> str:
        return str(_("%(item)s (%(n)d there)") % {"item": item, "n": item.owned})


class PlanHireForm(VerbForm):
    """So many of a thing out with a job from one day to another."""

    waits = False
    item = ItemChoice(queryset=HireItem.objects.none(), label=_("What"))
    quantity = forms.IntegerField(label=_("How many"), min_value=1, max_value=MOST_PIECES)
    first_day = DayField(label=_("Out from"))
    last_day = DayField(label=_("Back by"), help_text=_("Both days count: on none of them may more be promised than there are."))
    price = MoneyField(label=_("Hire of one"), required=False, help_text=_("Empty: what is proposed for the thing."))
    breakage = MoneyField(
        label=_("Charge for one broken or lost"), required=False, help_text=_("Empty: what is proposed for the thing."),
    )
    field_order = ["item", "quantity", "first_day", "last_day", "price", "breakage", "on"]

    def __init__(self, *args: Any, items: Any, **given: Any) -> None:
        super().__init__(*args, **given)
        self.fields["item"].queryset = items  # type: ignore[attr-defined]


class SendOutForm(VerbForm):
    """How many left."""

    quantity = forms.IntegerField(label=_("How many left"), min_value=1, max_value=MOST_PIECES)
    field_order = ["quantity", "on"]


class HireBackForm(VerbForm):
    """What came back whole, and what is broken or lost; `sees_money`: what is charged for it too."""

    whole = forms.IntegerField(label=_("Back whole"), min_value=0, max_value=MOST_PIECES, required=False)
    broken = forms.IntegerField(label=_("Broken or lost"), min_value=0, max_value=MOST_PIECES, required=False)
    charge = MoneyField(
        label=_("Charged for those"), required=False, help_text=_("For all of them. Empty: as agreed for the hire."),
    )
    note = forms.CharField(label=_("Note"), max_length=120, required=False)
    field_order = ["whole", "broken", "charge", "note", "on"]

    def __init__(self, *args: Any, sees_money: bool, **given: Any) -> None:
        super().__init__(*args, **given)
        if not sees_money:
            del self.fields["charge"]

    def given(self) -> dict[str, Any]:
        """The fields, an empty number as none."""
        given = super().given()
        return {**given, "whole": given["whole"] or 0, "broken": given["broken"] or 0}
