"""The forms of what orders by a way go by."""

from __future__ import annotations

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from ledger.facts.forms import MoneyField, VerbForm
from ledger.facts.ruled import MOST
from ledger.stock.models import Line


class OrderTermsForm(VerbForm):
    """Least order and carriage from a day on."""

    least = MoneyField(label=_("Least order, net"), required=False, help_text=_("Empty: no order is too small."))
    carriage = MoneyField(label=_("Carriage charged, net"), required=False, help_text=_("Empty: none is charged."))
    free_from = MoneyField(label=_("No carriage from, net"), required=False, help_text=_("Empty: carriage is always charged."))
    field_order = ["least", "carriage", "free_from", "on"]

    def __init__(self, *args: Any, **given: Any) -> None:
        super().__init__(*args, **given)
        self.fields["on"].label = _("From")

    def given(self) -> dict[str, Any]:
        """Nought as nothing said."""
        said = super().given()
        return {**said, "least": said["least"] or None, "carriage": said["carriage"] or 0}


class PackRuleForm(VerbForm):
    """In which numbers a line is ordered."""

    line = forms.ModelChoiceField(
        queryset=Line.objects.whole(), label=_("Bunch line"), required=False, empty_label=_("any line without a rule of its own")
    )
    multiple = forms.IntegerField(label=_("In multiples of"), min_value=1, max_value=10_000, initial=1)
    least = forms.IntegerField(label=_("At least"), min_value=1, max_value=MOST, initial=1)
    field_order = ["line", "multiple", "least", "on"]

    def __init__(self, *args: Any, **given: Any) -> None:
        super().__init__(*args, **given)
        self.fields["on"].label = _("From")
