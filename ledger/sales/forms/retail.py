"""Forms of stall days and retail sales: a ruled price list, filled in line by line."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy as _

from ledger.facts.forms import MoneyField, VerbForm
from ledger.facts.ruled import Row
from ledger.growing.models import Lot
from ledger.pricing.models import Way
from ledger.sales.actions import Sold
from ledger.sales.models import Customer, Sale
from ledger.sales.queries.offering import Said
from ledger.stock.models import Box, Line

from .priced import PricedForm
from .reasons import PRICE_REASONS, SHOWN, reason_fields, reason_said


class StallDayForm(VerbForm):
    """A market day."""

    name = forms.CharField(label=_("Name"), max_length=80, help_text=_("The market or fair."))
    way = forms.ModelChoiceField(queryset=Way.objects.retail(), label=_("Way of selling"))
    field_order = ["name", "way", "on"]


class SaleForm(PricedForm):
    """`lines`: (line, how many are there); `lots`: with stems in water; `prices`: by the line's key, as text; `said` beside.

    `here`: bunches at hand at the stall by the line's key; `fresh`: (stems to a bunch, price) last charged by the lot's key.
    """

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
        box: Box | None = None, said: Said | None = None, here: Mapping[int, int] | None = None,
        fresh: Mapping[int, tuple[int, int]] | None = None, **given: Any,
    ) -> None:
        super().__init__(*args, **given)
        self.lines, self.lots, self.box, self.said, self.here = lines, lots, box, said or Said({}), here or {}
        reason_fields(self, _("Why another price"), PRICE_REASONS, _("Only where a price of the list was typed over."))
        for line, _there in lines:
            self.number(f"n_{line.pk}", _("%(what)s: how many") % {"what": line})
            self.listed(f"price_{line.pk}", _("%(what)s: price of one") % {"what": line}, prices.get(line.pk, ""))
            steps = " ".join(f"{at_least}:{amount}" for at_least, amount in self.said.steps.get(line.pk, ()))
            self.fields[f"n_{line.pk}"].widget.attrs.update({"data-price": f"price_{line.pk}", "data-steps": steps})
        for lot in lots:
            each, price = (fresh or {}).get(lot.pk, (1, None))
            self.number(f"stems_{lot.pk}", _("%(what)s: how many") % {"what": lot})
            self.fields[f"stems_{lot.pk}"].widget.attrs["data-price"] = f"fresh_{lot.pk}"
            self.number(f"each_{lot.pk}", _("%(what)s: stems in each") % {"what": lot}, initial=each)
            self.money(f"fresh_{lot.pk}", _("%(what)s: price of one") % {"what": lot})
            self.fields[f"fresh_{lot.pk}"].initial = MoneyField().prepare_value(price)

    def line_rows(self) -> list[Row]:
        """A row for each bunch line."""
        return [
            Row(line, self.said.beside(line, self._where(line, there)), [self[f"n_{line.pk}"], self[f"price_{line.pk}"]])
            for line, there in self.lines
        ]

    @property
    def offers_in_short(self) -> str:
        """The open offers for the running sum: “key:quantity:amount:line,line” each, amounts in minor units."""
        keys = [",".join(map(str, sorted(offer.lines))) for offer in self.said.offers]
        return " ".join(
            f"{offer.key}:{offer.quantity}:{offer.amount}:{lines}" for offer, lines in zip(self.said.offers, keys, strict=True)
        )

    def at_hand(self) -> list[Row]:
        """The rows of lines loaded for the market; all where none is, or where one box is sold from."""
        return [row for row in self.line_rows() if self._is_at_hand(row.heading)]

    def elsewhere(self) -> list[Row]:
        """The rows of all other lines."""
        return [row for row in self.line_rows() if not self._is_at_hand(row.heading)]

    def _is_at_hand(self, line: Line) -> bool:
        return line.pk in self.here or not self.here or self.box is not None

    @property
    def unfolds_elsewhere(self) -> bool:
        """Whether something is said of a line that is not at hand, or nothing else is there to be sold."""
        first = self.at_hand() or self.lots
        rows = self.elsewhere()
        return not first or any(row.fields[0].value() or any(one.errors for one in row.fields) for row in rows)

    @property
    def unfolds_why(self) -> bool:
        """Whether something is said of another price."""
        return self._says("why", "why_words", "as_shown")

    @property
    def unfolds_more(self) -> bool:
        """Whether a customer or note is named, or anything beside them is wrong or as it was not proposed."""
        changed = self.is_bound and {"on", "beyond_record"} & set(self.changed_data)
        return bool(changed) or self._says("customer", "note") or self._is_wrong("on", "beyond_record")

    def _says(self, *names: str) -> bool:
        return self._is_wrong(*names) or any(self[name].value() for name in names)

    def _is_wrong(self, *names: str) -> bool:
        return any(name in self.errors for name in names)

    def _where(self, line: Line, there: int) -> str:
        """How many are in the box, or at hand and free."""
        if line.pk in self.here:
            return str(_("%(here)d here, %(n)d free")) % {"here": self.here[line.pk], "n": there}
        return str(_("%(n)d in it") if self.box else _("%(n)d free")) % {"n": there}

    def lot_rows(self) -> list[Row]:
        """A row for each lot in water."""
        return [
            Row(
                lot, _("%(n)d in water") % {"n": lot.stems_in_water},
                [self[f"stems_{lot.pk}"], self[f"each_{lot.pk}"], self[f"fresh_{lot.pk}"]],
            )
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
                    self.add_error(f"fresh_{lot.pk}", ValidationError(_("Give the price of one."), code="no_price"))
        return given

    def sold(self) -> list[Sold]:
        """What was filled in, a price left as it was shown as none: the action asks the list of that day."""
        given = self.cleaned_data
        why = reason_said(given, PRICE_REASONS) or (str(SHOWN) if given["as_shown"] else "")
        dried = [
            Sold(given[f"n_{line.pk}"], line=line, price=self.price_of(f"price_{line.pk}"), box=self.box, why=why)
            for line, _there in self.lines if given[f"n_{line.pk}"]
        ]
        fresh = [
            Sold(
                given[f"stems_{lot.pk}"], lot=lot, price=given[f"fresh_{lot.pk}"], stems_each=given.get(f"each_{lot.pk}") or 1
            )
            for lot in self.lots if given[f"stems_{lot.pk}"]
        ]
        return [*dried, *fresh]


class SecondsForm(VerbForm):
    """Damaged bunches sold as seconds; `lines`: those of which firsts are on hand, or were at the stall."""

    line = forms.ModelChoiceField(
        queryset=Line.objects.none(), label=_("Bunch line"), help_text=_("The firsts that were damaged.")
    )
    bunches = forms.IntegerField(label=_("How many"), min_value=1, max_value=100_000)
    price = MoneyField(
        label=_("Price of one"), required=False, help_text=_("As damaged. Empty: what the list says for the seconds."),
    )
    paid = forms.ChoiceField(label=_("Paid by"), choices=Sale.Paid, widget=forms.RadioSelect, initial=Sale.Paid.CASH)
    note = forms.CharField(label=_("Note"), max_length=120, required=False)
    beyond_record = forms.BooleanField(
        label=_("It was sold, whatever the record says is there"), required=False,
        help_text=_("Promised ones too. What the record lacks is noted as found, to be checked."),
    )
    field_order = ["line", "bunches", "price", "paid", "on", "note", "beyond_record"]

    def __init__(self, *args: Any, lines: Any, **given: Any) -> None:
        super().__init__(*args, **given)
        self.fields["line"].queryset = lines  # type: ignore[attr-defined]
