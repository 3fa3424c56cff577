"""Forms of prices: one at a time, or all of a way on a sheet."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy as _

from ledger.facts.forms import DayField, MoneyField, VerbForm
from ledger.facts.ruled import RuledForm
from ledger.stock.models import Line

from ..actions import ListPrice
from ..models import Way
from ..queries.sheet import SheetRow


class AsOfDayForm(forms.Form):
    """The day a price list is asked for."""

    on = DayField(required=False)


class PriceForm(VerbForm):
    """The price of a line by a way from a day on."""

    line = forms.ModelChoiceField(queryset=Line.objects.whole(), label=_("Line"))
    way = forms.ModelChoiceField(queryset=Way.objects.all(), label=_("Way of selling"))
    at_least = forms.IntegerField(
        label=_("For so many or more at once"), min_value=1, max_value=100_000, initial=1, required=False,
        help_text=_("1: any number. 10: a lower price for ten or more."),
    )
    amount = MoneyField(label=_("Price of one"))
    field_order = ["line", "way", "at_least", "amount", "on"]

    def __init__(self, *args: Any, **given: Any) -> None:
        super().__init__(*args, **given)
        kept = [
            str(_("%(way)s: with tax") if way.with_tax else _("%(way)s: without tax")) % {"way": way} for way in Way.objects.all()
        ]
        self.fields["amount"].help_text = "; ".join(kept)
        self.fields["on"].label = _("From")

    def clean_amount(self) -> int:
        """A price is more than nothing."""
        amount = self.cleaned_data["amount"]
        if not amount:
            raise ValidationError(_("A price is more than nothing."), code="too_few")
        return int(amount)

    def given(self) -> dict[str, Any]:
        return {**super().given(), "at_least": self.cleaned_data["at_least"] or 1}


class SheetOfPricesForm(RuledForm):
    """A new price beside each line of a way, filled in where it changes."""

    numbers = ("new_",)

    def __init__(self, *args: Any, rows: Sequence[SheetRow], **given: Any) -> None:
        super().__init__(*args, **given)
        self.sheet = rows
        for row in rows:
            self.money(f"new_{row.line.pk}", _("%(what)s: new price") % {"what": row.line})
        self.fields["on"].label = _("From")

    def rows(self) -> list[tuple[SheetRow, forms.BoundField]]:
        """Each line with the field of its new price."""
        return [(row, self[f"new_{row.line.pk}"]) for row in self.sheet]

    def clean(self) -> dict[str, Any]:
        given = super().clean()
        for row in self.sheet:
            name = f"new_{row.line.pk}"
            self.amount(name)
            if self.cleaned_data.get(name) == 0:
                self.add_error(name, ValidationError(_("A price is more than nothing."), code="too_few"))
        return given

    def prices(self) -> list[ListPrice]:
        """What was filled in."""
        typed = [(row.line, self.cleaned_data.get(f"new_{row.line.pk}")) for row in self.sheet]
        return [ListPrice(line, amount) for line, amount in typed if amount]
