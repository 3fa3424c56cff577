"""Forms of a stall day's tin and of card payouts."""

from django import forms
from django.utils.translation import gettext_lazy as _

from ledger.facts.forms import DayField, MoneyField, NoDayForm, VerbForm
from ledger.pricing.models import Way
from ledger.sales.models import TinCount


class TinForm(NoDayForm):
    """Cash in the tin, before the first sale or after the last."""

    when = forms.ChoiceField(label=_("When"), choices=TinCount.When, widget=forms.RadioSelect)
    amount = MoneyField(label=_("Cash in the tin"))
    note = forms.CharField(label=_("Note"), max_length=120, required=False)


class CardPayoutForm(VerbForm):
    """What the card company paid out, and for which days."""

    way = forms.ModelChoiceField(queryset=Way.objects.retail(), label=_("Way of selling"))
    first_day = DayField(label=_("First day of sale"))
    last_day = DayField(label=_("Last day of sale"))
    gross = MoneyField(label=_("Card sales by the payout"), help_text=_("Before the fee."))
    fee = MoneyField(label=_("Fee kept"), required=False, help_text=_("Entered as a cost; empty where nothing was kept."))
    field_order = ["on", "way", "first_day", "last_day", "gross", "fee"]

    def given(self) -> dict[str, object]:
        """What was typed, a fee left empty as nil."""
        return {**super().given(), "fee": self.cleaned_data["fee"] or 0}
