"""Forms of trade orders: asked for and promised, line by line."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from ledger.facts.forms import DayField, VerbForm
from ledger.facts.ruled import MOST, Row
from ledger.sales.actions import Asked
from ledger.sales.models import Customer
from ledger.sales.queries.offering import Said
from ledger.stock.models import Line

from .priced import PricedForm


class OrderForm(PricedForm):
    """`lines` carry `free`; `prices`: net, by the line's key, as text. An empty promise is all that was asked."""

    customer = forms.ModelChoiceField(queryset=Customer.objects.named().filter(trade=True), label=_("Customer"))
    wanted_on = DayField(label=_("Wanted for"), required=False)
    reference = forms.CharField(label=_("Customer's reference"), max_length=60, required=False)
    sale_or_return = forms.BooleanField(
        label=_("On sale or return"), required=False,
        help_text=_("What is handed over stays yours until the customer reports it sold or brings it back."),
    )
    numbers = ("asked_", "promised_")

    def __init__(
        self, *args: Any, lines: Sequence[Line], prices: Mapping[int, str], said: Said | None = None, **given: Any
    ) -> None:
        super().__init__(*args, **given)
        self.lines, self.said = lines, said or Said({})
        for line in lines:
            self.number(f"asked_{line.pk}", _("%(what)s: asked for") % {"what": line})
            self.number(f"promised_{line.pk}", _("%(what)s: promised") % {"what": line})
            self.listed(f"price_{line.pk}", _("%(what)s: price of one, net") % {"what": line}, prices.get(line.pk, ""))

    def rows(self) -> list[Row]:
        """A row for each line."""
        return [
            Row(line, self.said.beside(line, _("%(n)d free") % {"n": line.free}), self._fields_of(line))  # type: ignore[attr-defined]
            for line in self.lines
        ]

    def _fields_of(self, line: Line) -> list[forms.BoundField]:
        return [self[f"{kind}_{line.pk}"] for kind in ("asked", "promised", "price")]

    def clean(self) -> dict[str, Any]:
        given = super().clean()
        for line in self.lines:
            if given.get(f"asked_{line.pk}"):
                self.amount(f"price_{line.pk}")
            elif given.get(f"promised_{line.pk}"):
                self.add_error(f"asked_{line.pk}", _("Say how many are asked for."))
        return given

    def asked(self) -> list[Asked]:
        """What was filled in, a price left as it was shown as none: the action asks the list of that day."""
        given = self.cleaned_data
        return [
            Asked(line, given[f"asked_{line.pk}"], given[f"promised_{line.pk}"], self.price_of(f"price_{line.pk}"))
            for line in self.lines if given[f"asked_{line.pk}"]
        ]


class BunchesForm(VerbForm):
    """So many bunches on a day."""

    bunches = forms.IntegerField(label=_("How many"), min_value=1, max_value=MOST)
    field_order = ["bunches", "on"]
