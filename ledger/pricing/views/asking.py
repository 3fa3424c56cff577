"""The form that asks what would be if something were otherwise."""

from __future__ import annotations

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from ledger.facts.forms import MoneyField, PercentField
from ledger.facts.queries import holding
from ledger.reckoning.currency import format_minor, minor_digits

from ..queries.what_if import Asked, Ground

CHANGES = {"wage_bp": _("Wage, changed by (%)"), "plot_bp": _("Plot cost, changed by (%)"),
           "cut_bp": _("Yield, changed by (%)"), "fees_bp": _("Fees and costs of selling, changed by (%)")}


class WhatIfForm(forms.Form):
    """What to move; whatever is left out stays as it is."""

    loss_bp = PercentField(label=_("Loss in drying (% of the stems hung)"), required=False, max_value=99)
    stems = forms.IntegerField(label=_("Stems to the bunch"), required=False, min_value=1, max_value=1000)
    price = MoneyField(label=_("Price of one"), required=False)
    field_order = ["wage_bp", "loss_bp", "stems", "plot_bp", "cut_bp", "fees_bp", "price"]

    def __init__(self, given: dict[str, Any], ground: Ground) -> None:
        said = {name: value for name, value in given.items() if str(value).strip()}
        super().__init__({**as_it_is(ground), **said})
        for name, label in CHANGES.items():
            self.fields[name] = PercentField(label=label, required=False, min_value=-99, max_value=1000)
        for name, there in (("loss_bp", ground.lost_bp), ("stems", ground.stems)):
            if there is None:
                del self.fields[name]
        self.order_fields(self.field_order)

    def asked(self) -> Asked:
        """What was asked; only of a valid form."""
        given = {name: value for name, value in self.cleaned_data.items() if value is not None}
        return Asked(**{**given, "price": given.get("price") or None})


def as_it_is(ground: Ground) -> dict[str, str]:
    """The form's fields with nothing moved, as typed."""
    found = dict.fromkeys(CHANGES, "0")
    if ground.lost_bp is not None:
        found["loss_bp"] = f"{ground.lost_bp / 100:.2f}"
    if ground.stems is not None:
        found["stems"] = str(ground.stems)
    if ground.present is not None:
        found["price"] = format_minor(ground.present, minor_digits(holding().currency))
    return found
