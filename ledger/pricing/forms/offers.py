"""The form of an offer of several."""

from __future__ import annotations

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from ledger.facts.forms import DayField, MoneyField, VerbForm
from ledger.stock.models import Line

from ..models import Way


class OfferForm(VerbForm):
    """So many of any of the lines ticked, together for one price."""

    way = forms.ModelChoiceField(
        queryset=Way.objects.retail(), label=_("Way of selling"), help_text=_("Trade is given quantity steps instead.")
    )
    name = forms.CharField(label=_("Name"), max_length=80, help_text=_("As it is called on the list, such as “Three for 12.00”."))
    quantity = forms.IntegerField(label=_("How many together"), min_value=2, max_value=1000, initial=3)
    amount = MoneyField(label=_("for"), help_text=_("Together, as the way keeps its prices."))
    lines = forms.ModelMultipleChoiceField(
        queryset=Line.objects.whole(), label=_("Lines that count"), widget=forms.CheckboxSelectMultiple,
        help_text=_("Any mix of them."),
    )
    until = DayField(label=_("Last day"), required=False, help_text=_("Empty: until it is ended."))
    field_order = ["way", "name", "quantity", "amount", "lines", "on", "until"]

    def __init__(self, *args: Any, **given: Any) -> None:
        super().__init__(*args, **given)
        self.fields["on"].label = _("From")

    def given(self) -> dict[str, Any]:
        return {**super().given(), "lines": list(self.cleaned_data["lines"])}
