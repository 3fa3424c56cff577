"""Forms of trade orders: asked for and promised, line by line."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from ledger.facts.forms import DayField, MoneyField, VerbForm
from ledger.facts.ruled import MOST, Row
from ledger.sales.actions import Asked
from ledger.sales.models import Customer, PackRule
from ledger.sales.queries.offering import Said
from ledger.sales.queries.terms import packs_in_words
from ledger.stock.models import Line
from ledger.stock.queries.seasons import seasons_by_line

from .priced import PricedForm
from .written import read_written, written_down


class OrderForm(PricedForm):
    """`lines` carry `free`; `prices`: net, by the line's key, as text. An empty promise is all that was asked."""

    customer = forms.ModelChoiceField(queryset=Customer.objects.named().filter(trade=True), label=_("Customer"))
    wanted_on = DayField(label=_("Wanted for"), required=False)
    reference = forms.CharField(label=_("Customer's reference"), max_length=60, required=False)
    sale_or_return = forms.BooleanField(
        label=_("On sale or return"), required=False,
        help_text=_("What is handed over stays yours until the customer reports it sold or brings it back."),
    )
    carriage = MoneyField(label=_("Carriage, net"), required=False, help_text=_("Empty: by the terms of this way of selling."))
    all_the_same = forms.BooleanField(
        label=_("Take it all the same"), required=False, help_text=_("Below the least order, or off a pack's size."),
    )
    written = written_down()
    what_is_free = forms.BooleanField(
        label=_("Promise no more than is free"), required=False,
        help_text=_("Where nothing is written under “promised”. What lacks stands on the order with what could fill it."),
    )
    numbers = ("asked_", "promised_")

    def __init__(
        self, *args: Any, lines: Sequence[Line], prices: Mapping[int, str], said: Said | None = None,
        packs: Mapping[int | None, PackRule] | None = None, **given: Any,
    ) -> None:
        super().__init__(*args, **given)
        self.fields["customer"].widget.attrs["autofocus"] = True
        self.lines, self.said = lines, said or Said({})
        self.packs = packs_in_words(lines, dict(packs or {}))
        self.seasons = seasons_by_line(lines)
        for line in lines:
            self.number(f"asked_{line.pk}", _("%(what)s: asked for") % {"what": line})
            self.number(f"promised_{line.pk}", _("%(what)s: promised") % {"what": line})
            if len(self.seasons[line.pk]) > 1:
                self._season(line)
            self.listed(f"price_{line.pk}", _("%(what)s: price of one, net") % {"what": line}, prices.get(line.pk, ""))

    @property
    def by_season(self) -> bool:
        """Whether a season can be asked for of any line."""
        return any(len(seasons) > 1 for seasons in self.seasons.values())

    def rows(self) -> list[Row]:
        """A row for each line."""
        return [Row(line, self.said.beside(line, self._there(line)), self._fields_of(line)) for line in self.lines]

    def _there(self, line: Line) -> str:
        free, pack = _("%(n)d free") % {"n": line.free}, self.packs.get(line.pk, "")  # type: ignore[attr-defined]
        return f"{free} · {pack}" if pack else free

    def _fields_of(self, line: Line) -> list[forms.BoundField]:
        names = [f"{kind}_{line.pk}" for kind in ("asked", "promised", "price", "season")]
        return [self[name] for name in names if name in self.fields]

    def _season(self, line: Line) -> None:
        """Ask for a season where bunches of several are there."""
        name, label = f"season_{line.pk}", _("%(what)s: only of season") % {"what": line}
        only = [(season, _("only %(season)s") % {"season": season}) for season in self.seasons[line.pk]]
        choices = [("", _("any season")), *only]
        self.fields[name] = forms.TypedChoiceField(label=label, choices=choices, coerce=int, empty_value=None, required=False)
        self.fields[name].widget.attrs["aria-label"] = label

    def clean(self) -> dict[str, Any]:
        given = super().clean()
        read_written(self, given, self.lines)
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
            Asked(
                line, given[f"asked_{line.pk}"], given[f"promised_{line.pk}"], self.price_of(f"price_{line.pk}"),
                given.get(f"season_{line.pk}"),
            )
            for line in self.lines if given[f"asked_{line.pk}"]
        ]


class BunchesForm(VerbForm):
    """So many bunches on a day."""

    bunches = forms.IntegerField(label=_("How many"), min_value=1, max_value=MOST)
    field_order = ["bunches", "on"]


class CancelForm(BunchesForm):
    """So many cancelled; a press for what lacks says that it means nothing else."""

    only_lacking = forms.BooleanField(required=False, widget=forms.HiddenInput)
