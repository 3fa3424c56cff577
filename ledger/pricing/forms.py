"""The forms of pricing."""

from __future__ import annotations

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from ledger.facts.forms import MoneyField, NoDayForm, PercentField, VerbForm
from ledger.stock.models import Line

from .models import Way


class WayForm(NoDayForm):
    """A new way of selling."""

    name = forms.CharField(label=_("Name"), max_length=60)
    with_tax = forms.BooleanField(label=_("Its prices are kept with tax"), required=False, initial=True)
    trade = forms.BooleanField(label=_("To trade customers, on order"), required=False)


class RenameWayForm(NoDayForm):
    """Another name for a way; the hidden field keeps what the form showed."""

    name = forms.CharField(label=_("Name"), max_length=60)
    seen_name = forms.CharField(widget=forms.HiddenInput, required=False)


class TermsForm(VerbForm):
    """What a way costs from a day on, and the margin wanted."""

    fee_bp = PercentField(label=_("Fees on takings (%)"), initial=0, max_value=99, help_text=_("Card fees, commission."))
    fixed_day = MoneyField(
        label=_("Fixed cost of a day"), initial=0, help_text=_("Pitch and hours of one day, shared over its usual takings.")
    )
    usual_takings = MoneyField(label=_("Usual takings of a day"), initial=0)
    margin_bp = PercentField(label=_("Margin wanted (%)"), initial=3000, max_value=99, help_text=_("Of the price without tax."))
    ending = MoneyField(
        label=_("How prices end"), required=False, help_text=_("0.50: every price ends in .50. Empty: as it comes out.")
    )
    field_order = ["fee_bp", "fixed_day", "usual_takings", "margin_bp", "ending", "on"]


class PriceForm(VerbForm):
    """The price of a line by a way from a day on."""

    line = forms.ModelChoiceField(queryset=Line.objects.whole(), label=_("Line"))
    way = forms.ModelChoiceField(queryset=Way.objects.all(), label=_("Way of selling"))
    amount = MoneyField(label=_("Price of one"))
    field_order = ["line", "way", "amount", "on"]

    def __init__(self, *args: Any, **given: Any) -> None:
        super().__init__(*args, **given)
        kept = [
            str(_("%(way)s: with tax") if way.with_tax else _("%(way)s: without tax")) % {"way": way} for way in Way.objects.all()
        ]
        self.fields["amount"].help_text = "; ".join(kept)
        self.fields["on"].label = _("From")
