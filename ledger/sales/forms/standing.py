"""Forms of orders that come round."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from ledger.facts.forms import DayField, VerbForm
from ledger.facts.ruled import Row, RuledForm
from ledger.sales.actions import EachTime
from ledger.sales.models import Customer, StandingOrder
from ledger.stock.models import Line

from .written import read_written, written_down


class StandingOrderForm(RuledForm):
    """`prices`: net, by the line's key, as text, told beside each row; an empty price follows them."""

    customer = forms.ModelChoiceField(queryset=Customer.objects.named().filter(trade=True), label=_("Customer"))
    first_on = DayField(label=_("Wanted first on"))
    every = forms.IntegerField(label=_("Every"), min_value=1, max_value=52, initial=1)
    unit = forms.ChoiceField(label=_("weeks or months"), choices=StandingOrder.Every.choices, initial=StandingOrder.Every.WEEKS)
    reference = forms.CharField(label=_("Customer's reference"), max_length=60, required=False)
    written = written_down()
    numbers = ("asked_",)

    def __init__(self, *args: Any, lines: Sequence[Line], prices: Mapping[int, str], **given: Any) -> None:
        super().__init__(*args, **given)
        self.lines, self.prices = lines, prices
        self.fields["on"].label = _("Agreed on")
        for line in lines:
            self.number(f"asked_{line.pk}", _("%(what)s: each time") % {"what": line})
            self.money(f"price_{line.pk}", _("%(what)s: price of one, net") % {"what": line})

    def rows(self) -> list[Row]:
        """A row for each line."""
        return [Row(line, self._listed(line), [self[f"asked_{line.pk}"], self[f"price_{line.pk}"]]) for line in self.lines]

    def _listed(self, line: Line) -> Any:
        price = self.prices.get(line.pk)
        return _("%(price)s today") % {"price": price} if price else _("no price today")

    def clean(self) -> dict[str, Any]:
        given = super().clean()
        read_written(self, given, self.lines)
        for line in self.lines:
            if given.get(f"asked_{line.pk}"):
                self.amount(f"price_{line.pk}")
            elif given.get(f"price_{line.pk}"):
                self.add_error(f"asked_{line.pk}", _("Say how many are wanted each time."))
        return given

    def wanted(self) -> list[EachTime]:
        """What was filled in."""
        given = self.cleaned_data
        return [
            EachTime(line, given[f"asked_{line.pk}"], given[f"price_{line.pk}"])
            for line in self.lines if given[f"asked_{line.pk}"]
        ]


class OfDayForm(VerbForm):
    """One of the days on which it comes round."""

    wanted_on = DayField(label=_("Wanted for"))
    field_order = ["wanted_on", "on"]
