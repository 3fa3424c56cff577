"""The form of a purchase, line by line."""

from __future__ import annotations

from typing import Any

from django import forms
from django.db.models import QuerySet
from django.forms import BoundField
from django.utils.translation import gettext_lazy as _

from ledger.facts.forms import DayField, MoneyField, VerbForm
from ledger.facts.models import CostKind, CostObject

from ..actions import BoughtLine
from ..queries import offered
from .spending import SpentOnField, asked_for, find_field, found_field, named, weighted, weights_field

MOST_LINES = 20


class PurchaseForm(VerbForm):
    """A bill with so many lines; an empty line is left out."""

    LINE = ("description", "kind", "net", "tax", "spent_on", "weights", "covers_from", "covers_to")

    supplier = forms.CharField(label=_("Supplier"), max_length=120)
    reference = forms.CharField(label=_("Reference on the bill"), max_length=60, required=False)
    find = find_field()
    found = found_field()
    field_order = ["on", "supplier", "reference"]

    def __init__(self, *args: Any, lines: int = 1, **given: Any) -> None:
        super().__init__(*args, **given)
        self.lines = min(lines, MOST_LINES)
        self.initial["found"] = asked_for(self)
        if self.initial.get("spent_on"):
            self.initial["spent_on_0"] = named(self, "spent_on")
        besides = [number for row in range(self.lines) for number in named(self, f"spent_on_{row}")]
        among = offered(asked_for(self), besides)
        for row in range(self.lines):
            self._add_line(row, among)

    def _add_line(self, row: int, among: QuerySet[CostObject]) -> None:
        spent_on = SpentOnField(required=False)
        spent_on.offer(among)
        kinds = CostKind.objects.exclude(code__in=["labour", "unpaid"])
        for name, field in {
            "description": forms.CharField(label=_("What was bought"), max_length=120, required=False),
            "kind": forms.ModelChoiceField(queryset=kinds, label=_("Kind of cost"), required=False),
            "net": MoneyField(label=_("Net"), required=False),
            "tax": MoneyField(label=_("Tax"), required=False),
            "spent_on": spent_on,
            "weights": weights_field(),
            "covers_from": DayField(
                label=_("Covers from"), required=False, help_text=_("A bill for a stretch of days, such as a year's rent.")
            ),
            "covers_to": DayField(label=_("to and including"), required=False),
        }.items():
            self.fields[f"{name}_{row}"] = field

    def rows(self) -> list[list[BoundField]]:
        """The fields of each line, for the page."""
        return [[self[f"{name}_{row}"] for name in self.LINE] for row in range(self.lines)]

    def head(self) -> list[BoundField]:
        """The fields of the bill itself."""
        return [self[name] for name in ("on", "supplier", "reference")]

    def clean(self) -> dict[str, Any]:
        given = super().clean() or {}
        begun = [row for row in range(self.lines) if self._begun(row)]
        if not begun and not self.errors:
            self.add_error("description_0", forms.ValidationError(_("This line needs it."), code="required"))
        for row in begun:
            self._check_line(row)
        return given

    def _begun(self, row: int) -> bool:
        """Whether anything was typed in a line."""
        names = [f"{name}_{row}" for name in ("description", "net", "tax", "covers_from", "covers_to")]
        return any(name in self.errors or self.cleaned_data.get(name) not in (None, "") for name in names)

    def _check_line(self, row: int) -> None:
        given = self.cleaned_data
        for name in ("description", "kind", "net", "spent_on"):
            field = f"{name}_{row}"
            if given.get(field) in (None, "", []) and field not in self.errors:
                self.add_error(field, forms.ValidationError(_("This line needs it."), code="required"))
        if (given.get(f"covers_from_{row}") is None) != (given.get(f"covers_to_{row}") is None):
            error = forms.ValidationError(_("A stretch needs a first and a last day, in that order."), code="half_a_stretch")
            self.add_error(f"covers_to_{row}", error)
        try:
            given[f"shared_{row}"] = weighted(given.get(f"spent_on_{row}") or [], given.get(f"weights_{row}", ""))
        except forms.ValidationError as error:
            self.add_error(f"weights_{row}", error)

    def bought(self) -> list[BoughtLine]:
        """The lines as the action takes them."""
        return [self._bought(row) for row in range(self.lines) if f"shared_{row}" in self.cleaned_data]

    def _bought(self, row: int) -> BoughtLine:
        given = {name: self.cleaned_data[f"{name}_{row}"] for name in self.LINE}
        return BoughtLine(
            description=given["description"], kind=given["kind"], net=given["net"], tax=given["tax"] or 0,
            spent_on=self.cleaned_data[f"shared_{row}"], covers_from=given["covers_from"], covers_to=given["covers_to"],
        )
