"""Forms of customers."""

from __future__ import annotations

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from ledger.facts.forms import NoDayForm

KEPT = ("name", "trade", "contact", "email", "address", "tax_number", "days_to_pay")


class CustomerForm(NoDayForm):
    """A customer's details; when changing them the hidden `seen_` fields keep what the form showed."""

    name = forms.CharField(label=_("Name"), max_length=120)
    trade = forms.BooleanField(label=_("Trade customer"), required=False, initial=True)
    contact = forms.CharField(label=_("Contact"), max_length=120, required=False)
    email = forms.EmailField(label=_("E-mail"), required=False)
    address = forms.CharField(label=_("Address"), required=False, widget=forms.Textarea(attrs={"rows": 4}))
    tax_number = forms.CharField(label=_("Tax registration number"), max_length=30, required=False)
    days_to_pay = forms.IntegerField(label=_("Days to pay"), min_value=0, max_value=365, initial=30)

    def __init__(self, *args: Any, seen: bool = False, **given: Any) -> None:
        super().__init__(*args, **given)
        for name in KEPT if seen else ():
            self.fields[f"seen_{name}"] = forms.CharField(
                widget=forms.HiddenInput, required=False, strip=False, initial=str(self.initial.get(name, ""))
            )

    def given(self) -> dict[str, Any]:
        """The details."""
        return {name: self.cleaned_data[name] for name in KEPT}

    def seen(self) -> dict[str, str]:
        """What the form showed."""
        return {name: self.cleaned_data[f"seen_{name}"].replace("\r\n", "\n") for name in KEPT}

    def clean_address(self) -> str:
        return str(self.cleaned_data["address"]).replace("\r\n", "\n")


class BlankForm(NoDayForm):
    """A deliberate tick before details are removed for good."""

    sure = forms.BooleanField(label=_("Remove name, contact, e-mail, address and number for good"))
