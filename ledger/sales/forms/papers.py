"""Forms of credits and payments."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from ledger.facts.forms import MoneyField, VerbForm
from ledger.facts.ruled import Row, RuledForm
from ledger.pricing.queries.words import in_money
from ledger.sales.models import InvoiceLine


class InvoiceForm(VerbForm):
    """A day, and whether carriage that went with no parcel is billed too; `late`: how much, nil where it is not asked."""

    carriage_too = forms.BooleanField(required=False)
    field_order = ["carriage_too", "on"]

    def __init__(self, *args: Any, late: int, all_sent: bool, **given: Any) -> None:
        super().__init__(*args, **given)
        if late:
            says = _("%(late)s of its carriage went with no parcel: bill it too")
            self.fields["carriage_too"].label = says % {"late": in_money(late)}
            self.fields["carriage_too"].initial = all_sent
        else:
            del self.fields["carriage_too"]


class CreditForm(RuledForm):
    """`lines` carry `left`: how many can still be credited, and `left_net`: how much, which counts for carriage."""

    why = forms.CharField(label=_("Why"), max_length=200, help_text=_("Printed on the credit."))

    def __init__(self, *args: Any, lines: Sequence[InvoiceLine], **given: Any) -> None:
        super().__init__(*args, **given)
        self.lines = lines
        for line in lines:
            if line.carriage_of_id is None:
                self.number(f"n_{line.pk}", _("%(what)s: how many credited") % {"what": line.description})
            else:
                self.fields[f"amount_{line.pk}"] = MoneyField(required=False)
                says = _("%(what)s: how much credited, net") % {"what": line.description}
                self.fields[f"amount_{line.pk}"].widget.attrs["aria-label"] = says

    def rows(self) -> list[Row]:
        """A row for each line of the invoice."""
        return [Row(line.description, self._left(line), [self[_field(line)]]) for line in self.lines]

    def _left(self, line: Any) -> str:
        if line.carriage_of_id is None:
            return _("%(n)d can be credited") % {"n": line.left}
        return _("%(amount)s can be credited") % {"amount": in_money(line.left_net)}

    def credited(self) -> list[tuple[InvoiceLine, int]]:
        """What was filled in by number."""
        return self._said(carriage=False)

    def carriage(self) -> list[tuple[InvoiceLine, int]]:
        """What was filled in of carriage, minor units."""
        return self._said(carriage=True)

    def _said(self, *, carriage: bool) -> list[tuple[InvoiceLine, int]]:
        lines = [line for line in self.lines if (line.carriage_of_id is not None) == carriage]
        return [(line, self.cleaned_data[_field(line)]) for line in lines if self.cleaned_data[_field(line)]]


def _field(line: InvoiceLine) -> str:
    return f"n_{line.pk}" if line.carriage_of_id is None else f"amount_{line.pk}"


class PaymentForm(VerbForm):
    """Money received."""

    amount = MoneyField(label=_("Amount"))
    how = forms.CharField(label=_("How it came"), max_length=60, required=False)
    field_order = ["amount", "how", "on"]


class MoneyBackForm(PaymentForm):
    """Money given back."""

    how = forms.CharField(label=_("How it went"), max_length=60, required=False)
