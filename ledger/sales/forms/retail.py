"""Forms of stall days and retail sales: a ruled price list, filled in line by line."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy as _

from ledger.facts.forms import VerbForm
from ledger.facts.ruled import Row
from ledger.growing.models import Lot
from ledger.pricing.models import Way
from ledger.sales.actions import Sold
from ledger.sales.models import Customer, Sale
from ledger.sales.queries.offering import Said
from ledger.stock.models import Box, Line

from .priced import PricedForm


class StallDayForm(VerbForm):
    """A market day."""

    name = forms.CharField(label=_("Name"), max_length=80, help_text=_("The market or fair."))
    way = forms.ModelChoiceField(queryset=Way.objects.retail(), label=_("Way of selling"))
    field_order = ["name", "way", "on"]


class SaleForm(PricedForm):
    """`lines`: (line, how many are there); `lots`: with stems in water; `prices`: by the line's key, as text; `said` beside."""

    customer = forms.ModelChoiceField(
        queryset=Customer.objects.named(), label=_("Customer"), required=False, empty_label=_("nobody named")
    )
    paid = forms.ChoiceField(label=_("Paid by"), choices=Sale.Paid, widget=forms.RadioSelect, initial=Sale.Paid.CASH)
    note = forms.CharField(label=_("Note"), max_length=120, required=False)
    beyond_record = forms.BooleanField(
        label=_("It was sold, whatever the record says is there"), required=False,
        help_text=_("What the record lacks is noted as found, to be checked."),
    )
    numbers = ("n_", "stems_")

    def __init__(
        self, *args: Any, lines: Sequence[tuple[Line, int]], lots: Sequence[Lot], prices: Mapping[int, str],
        box: Box | None = None, said: Said | None = None, **given: Any,
    ) -> None:
        super().__init__(*args, **given)
        self.lines, self.lots, self.box, self.said = lines, lots, box, said or Said({})
        for line, _there in lines:
            self.number(f"n_{line.pk}", _("%(what)s: how many") % {"what": line})
            self.listed(f"price_{line.pk}", _("%(what)s: price of one") % {"what": line}, prices.get(line.pk, ""))
        for lot in lots:
            self.number(f"stems_{lot.pk}", _("%(what)s: how many stems") % {"what": lot})
            self.money(f"fresh_{lot.pk}", _("%(what)s: price of one stem") % {"what": lot})

    def line_rows(self) -> list[Row]:
        """A row for each bunch line."""
        says = _("%(n)d in it") if self.box else _("%(n)d free")
        return [
            Row(line, self.said.beside(line, says % {"n": there}), [self[f"n_{line.pk}"], self[f"price_{line.pk}"]])
            for line, there in self.lines
        ]

    def lot_rows(self) -> list[Row]:
        """A row for each lot in water."""
        return [
            Row(lot, _("%(n)d in water") % {"n": lot.stems_in_water}, [self[f"stems_{lot.pk}"], self[f"fresh_{lot.pk}"]])
            for lot in self.lots
        ]

    def clean(self) -> dict[str, Any]:
        given = super().clean()
        for line, _there in self.lines:
            if given.get(f"n_{line.pk}"):
                self.amount(f"price_{line.pk}")
        for lot in self.lots:
            if given.get(f"stems_{lot.pk}"):
                self.amount(f"fresh_{lot.pk}")
                if not self.errors and given[f"fresh_{lot.pk}"] is None:
                    self.add_error(f"fresh_{lot.pk}", ValidationError(_("Give the price of one stem."), code="no_price"))
        return given

    def sold(self) -> list[Sold]:
        """What was filled in, a price left as it was shown as none: the action asks the list of that day."""
        given = self.cleaned_data
        dried = [
            Sold(given[f"n_{line.pk}"], line=line, price=self.price_of(f"price_{line.pk}"), box=self.box)
            for line, _there in self.lines if given[f"n_{line.pk}"]
        ]
        fresh = [
            Sold(given[f"stems_{lot.pk}"], lot=lot, price=given[f"fresh_{lot.pk}"])
            for lot in self.lots if given[f"stems_{lot.pk}"]
        ]
        return [*dried, *fresh]
