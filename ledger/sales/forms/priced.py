"""A ruled form whose rows show the list's price, which follows the list of the form's day unless it is typed over."""

from __future__ import annotations

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from ledger.facts.ruled import RuledForm


class PricedForm(RuledForm):
    """Rows with today's listed price; left as it was shown it is none of its own, unless `as_shown` is ticked."""

    as_shown = forms.BooleanField(
        label=_("Charge the prices that stand here as they are, whatever list, steps and offers say"), required=False,
    )

    def listed(self, name: str, label: Any, price: str) -> None:
        """Add a row's price, the list's standing there already; the page keeps what it showed."""
        self.money(name, label)
        self.fields[name].initial, self.fields[name].show_hidden_initial = price, True

    def price_of(self, name: str) -> int | None:
        """A row's price as typed, minor units; None where it was left as it was shown, or is empty."""
        shown = self.data.get(self.add_initial_prefix(name), self[name].initial)
        left = str(self.data.get(self.add_prefix(name), "")).strip() == str(shown).strip()
        return None if left and not self.cleaned_data["as_shown"] else self.cleaned_data[name]
