"""The form of what a customer reports of goods on sale or return."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from ledger.facts.ruled import Row, RuledForm
from ledger.sales.actions import SaidOf
from ledger.sales.models import OrderLine
from ledger.stock.models import Batch, Box


class ReportForm(RuledForm):
    """A row for each batch of each line in the parcel: so many sold, so many back; the rest stays with the customer."""

    box = forms.ModelChoiceField(
        queryset=Box.objects.filter(parcel=False), label=_("What came back is in box"), required=False,
        help_text=_("Empty: not boxed yet."),
    )
    numbers = ("sold_", "back_")

    def __init__(self, *args: Any, there: Mapping[OrderLine, Mapping[Batch, int]], **given: Any) -> None:
        super().__init__(*args, **given)
        self.there = [(line, batch, n) for line, batches in there.items() for batch, n in batches.items()]
        for line, batch, _n in self.there:
            self.number(f"sold_{line.pk}_{batch.pk}", _("%(what)s: sold") % {"what": batch})
            self.number(f"back_{line.pk}_{batch.pk}", _("%(what)s: brought back") % {"what": batch})

    def rows(self) -> list[Row]:
        """The rows, with how many were handed over."""
        return [
            Row(batch, _("%(n)d handed over") % {"n": n}, [self[f"{what}_{line.pk}_{batch.pk}"] for what in ("sold", "back")])
            for line, batch, n in self.there
        ]

    def said(self) -> list[SaidOf]:
        """What was filled in."""
        given = self.cleaned_data
        return [
            SaidOf(line, batch, given[f"sold_{line.pk}_{batch.pk}"] or 0, given[f"back_{line.pk}_{batch.pk}"] or 0)
            for line, batch, _n in self.there
            if given[f"sold_{line.pk}_{batch.pk}"] or given[f"back_{line.pk}_{batch.pk}"]
        ]
