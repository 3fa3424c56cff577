"""The form of a purchase, line by line."""

from __future__ import annotations

from typing import Any

from django import forms
from django.db.models import QuerySet
from django.forms import BoundField
from django.utils.translation import gettext_lazy as _

from ledger.facts.forms import DayField, MoneyField, VerbForm
from ledger.facts.models import CostKind, CostObject
from ledger.facts.queries import today
from ledger.reckoning.years import written_down

from ..actions import BoughtLine
from ..queries import EQUALLY, offered
from .spending import SpentOnField, asked_for, find_field, found_field, named, shared_field, shared_out, weights_field

MOST_LINES, MOST_YEARS, MOST_OF_A_MATERIAL = 20, 40, 10**8


class PurchaseForm(VerbForm):
    """A bill with so many lines; an empty line is left out."""

    LINE = ("description", "kind", "net", "tax", "spent_on", "quantity")
    SELDOM = ("shared", "weights", "covers_from", "covers_to", "years")

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
        among = offered(asked_for(self), besides, materials=True)
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
            "quantity": forms.IntegerField(
                label=_("How many, of a material"), required=False, min_value=1, max_value=MOST_OF_A_MATERIAL,
                help_text=_("In the unit the material is counted in: 500 m of twine counted in cm are 50000."),
            ),
            "shared": shared_field(),
            "weights": weights_field(),
            "covers_from": DayField(
                label=_("Covers from"), required=False, help_text=_("A bill for a stretch of days, such as a year's rent.")
            ),
            "covers_to": DayField(label=_("to and including"), required=False),
            "years": forms.IntegerField(
                label=_("Written down over so many years"), required=False, min_value=1, max_value=MOST_YEARS,
                help_text=_("What lasts, such as a tunnel or a bench: each year from the day of the bill bears its part."),
            ),
        }.items():
            self.fields[f"{name}_{row}"] = field

    def rows(self) -> list[tuple[list[BoundField], list[BoundField], bool]]:
        """The fields of each line, those seldom wanted, and whether these are to be open."""
        return [self._row(row) for row in range(self.lines)]

    def _row(self, row: int) -> tuple[list[BoundField], list[BoundField], bool]:
        usual, seldom = ([self[f"{name}_{row}"] for name in names] for names in (self.LINE, self.SELDOM))
        return usual, seldom, any(field.errors or field.value() not in (None, "", EQUALLY) for field in seldom)

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
        names = [f"{name}_{row}" for name in ("description", "net", "tax", "quantity", "covers_from", "covers_to", "years")]
        return any(name in self.errors or self.cleaned_data.get(name) not in (None, "") for name in names)

    def _check_line(self, row: int) -> None:
        given = self.cleaned_data
        for name in ("description", "kind", "net", "spent_on"):
            field = f"{name}_{row}"
            if given.get(field) in (None, "", []) and field not in self.errors:
                self.add_error(field, forms.ValidationError(_("This line needs it."), code="required"))
        chosen = given.get(f"spent_on_{row}") or []
        if any(one.kind == CostObject.Kind.MATERIAL for one in chosen) and not given.get(f"quantity_{row}"):
            error = forms.ValidationError(_("Say how many units of the material came."), code="required")
            self.add_error(f"quantity_{row}", error)
        self._check_stretch(row)
        self._share(row)

    def _check_stretch(self, row: int) -> None:
        """A stretch has two days; what is written down over years has none typed."""
        first, last, years = (self.cleaned_data.get(f"{name}_{row}") for name in ("covers_from", "covers_to", "years"))
        if (first is None) != (last is None):
            error = forms.ValidationError(_("A stretch needs a first and a last day, in that order."), code="half_a_stretch")
            self.add_error(f"covers_to_{row}", error)
        elif years and first:
            self.add_error(f"years_{row}", forms.ValidationError(_("Either days or years, please."), code="days_or_years"))

    def _share(self, row: int) -> None:
        given = self.cleaned_data
        things, on = given.get(f"spent_on_{row}") or [], given.get("on") or today()
        try:
            given[f"shares_{row}"] = shared_out(things, given.get(f"shared_{row}", ""), given.get(f"weights_{row}", ""), on)
        except forms.ValidationError as error:
            for field, errors in error.error_dict.items():
                self.add_error(f"{field}_{row}", errors)

    def bought(self) -> list[BoughtLine]:
        """The lines as the action takes them."""
        return [self._bought(row) for row in range(self.lines) if f"shares_{row}" in self.cleaned_data]

    def _bought(self, row: int) -> BoughtLine:
        given = {name: self.cleaned_data[f"{name}_{row}"] for name in (*self.LINE, *self.SELDOM)}
        covers = (given["covers_from"], given["covers_to"])
        first, last = written_down(self.cleaned_data["on"], given["years"]) if given["years"] else covers
        return BoughtLine(
            description=given["description"], kind=given["kind"], net=given["net"], tax=given["tax"] or 0,
            spent_on=self.cleaned_data[f"shares_{row}"], covers_from=first, covers_to=last, quantity=given["quantity"],
        )

    def refuse(self, error: forms.ValidationError) -> None:
        """Put a refusal about a line on the only line there is."""
        if self.lines == 1 and hasattr(error, "error_dict"):
            error = forms.ValidationError({self._on_line(name): errors for name, errors in error.error_dict.items()})
        super().refuse(error)

    def _on_line(self, name: str) -> str:
        return f"{name}_0" if f"{name}_0" in self.fields else name
