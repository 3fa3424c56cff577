"""Forms of credits and payments."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from ledger.facts.forms import MoneyField, VerbForm
from ledger.facts.ruled import Row, RuledForm
from ledger.sales.models import InvoiceLine


class CreditForm(RuledForm):
    """`lines` carry `left`: how many can still be credited."""

    why = forms.CharField(label=_("Why"), max_length=200, help_text=_("Printed on the credit."))

    def __init__(self, *args: Any, lines: Sequence[InvoiceLine], **given: Any) -> None:
        super().__init__(*args, **given)
        self.lines = lines
        for line in lines:
            self.number(f"n_{line.pk}", _("%(what)s: how many credited") % {"what": line.description})

    def rows(self) -> list[Row]:
        """A row for each line of the invoice."""
        return [
            Row(line.description, _("%(n)d can be credited") % {"n": line.left}, [self[f"n_{line.pk}"]])  # type: ignore[attr-defined]
            for line in self.lines
        ]

    def credited(self) -> list[tuple[InvoiceLine, int]]:
        """What was filled in."""
        return [(line, self.cleaned_data[f"n_{line.pk}"]) for line in self.lines if self.cleaned_data[f"n_{line.pk}"]]


class PaymentForm(VerbForm):
    """Money received."""

    amount = MoneyField(label=_("Amount"))
    how = forms.CharField(label=_("How it came"), max_length=60, required=False)
    field_order = ["amount", "how", "on"]
