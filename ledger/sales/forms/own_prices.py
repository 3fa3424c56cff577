"""The form of a customer's own price."""

from __future__ import annotations

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from ledger.facts.forms import MoneyField, VerbForm
from ledger.pricing.models import Way
from ledger.stock.models import Line


class OwnPriceForm(VerbForm):
    """The price of a line for one customer by a way from a day on."""

    line = forms.ModelChoiceField(queryset=Line.objects.whole(), label=_("Line"))
    way = forms.ModelChoiceField(queryset=Way.objects.all(), label=_("Way of selling"))
    at_least = forms.IntegerField(
        label=_("For so many or more at once"), min_value=1, max_value=100_000, initial=1, required=False,
        help_text=_("1: any number."),
    )
    amount = MoneyField(label=_("Own price of one"), help_text=_("As the way keeps its prices, with or without tax."))
    field_order = ["line", "way", "at_least", "amount", "on"]

    def __init__(self, *args: Any, **given: Any) -> None:
        super().__init__(*args, **given)
        self.fields["on"].label = _("From")

    def given(self) -> dict[str, Any]:
        return {**super().given(), "at_least": self.cleaned_data["at_least"] or 1}
