"""Rows of a form: so many of one of the things there are; and the lines a run makes."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, ClassVar

from django import forms
from django.core.exceptions import ValidationError
from django.forms import BoundField
from django.utils.translation import gettext_lazy as _

from ledger.facts.forms import GONE, MoneyField, VerbForm
from ledger.facts.ruled import RuledForm, numbered
from ledger.stock.actions import Output
from ledger.stock.models import Box

from .boxes import BoxChoice

MOST, MOST_ROWS = 1_000_000, 40


@dataclass(frozen=True)
class Pick:
    """A kind of row: the heading of all of them, its number's field, and what both fields are called."""

    heading: Any
    number: str
    which: Any
    how_many: Any


@dataclass(frozen=True)
class Group:
    """The rows of one kind as shown, and whether they are open at once."""

    heading: Any
    rows: Sequence[tuple[BoundField, BoundField]]
    is_open: bool


class RowsForm(VerbForm):
    """A form with rows of two fields: which thing (`content_1`), and how many of it (`bunches_1`).

    `KINDS` says them by the thing's field. There are as many rows as were begun
    or sent, and some to spare as long as they are not too many.
    """

    KINDS: ClassVar[Mapping[str, Pick]] = {}
    SPARE = 2

    def __init__(self, *args: Any, **given: Any) -> None:
        super().__init__(*args, **given)
        self.things: dict[str, dict[str, Any]] = {}

    def offer(self, kind: str, things: Sequence[tuple[Any, Any]]) -> None:
        """Add the rows of a kind; `things` are those offered, each with what it is called."""
        pick = self.KINDS[kind]
        self.things[kind] = {key_of(thing): thing for thing, _label in things}
        choices = [("", "–"), *((key_of(thing), label) for thing, label in things)]
        for row in range(1, self._rows(kind) + 1):
            self.fields[f"{kind}_{row}"] = forms.TypedChoiceField(
                label=pick.which, choices=choices, coerce=self.things[kind].__getitem__, empty_value=None, required=False,
                error_messages={"invalid_choice": GONE},
            )
            self.fields[f"{pick.number}_{row}"] = forms.IntegerField(
                label=pick.how_many, min_value=1, max_value=MOST, required=False
            )

    def _rows(self, kind: str) -> int:
        return self.rows_begun(kind, self.KINDS[kind].number)

    def rows_begun(self, *names: str) -> int:
        """How many rows of fields so called to show: some to spare up to `MOST_ROWS`, and never fewer than were there."""
        said = self.data if self.is_bound else self.initial
        begun = [row for name in names for row in numbered(said, f"{name}_")]
        there = [sum(field.removeprefix(f"{name}_").isdecimal() for field in said) for name in names]
        return min(max([row + self.SPARE - 1 for row in begun] + [self.SPARE]), max(MOST_ROWS, *there))

    def rows(self, kind: str) -> list[tuple[BoundField, BoundField]]:
        """The fields of a kind's rows, for the page."""
        number = self.KINDS[kind].number
        return [(self[f"{kind}_{row}"], self[f"{number}_{row}"]) for row in range(1, self._rows(kind) + 1)]

    def groups(self) -> list[Group]:
        """The kinds offered with their rows, for the page; the first, and those with something in them, open."""
        shown = [(kind, self.rows(kind)) for kind in self.KINDS if kind in self.things]
        return [
            Group(self.KINDS[kind].heading, rows, kind == shown[0][0] or any(one.value() for row in rows for one in row))
            for kind, rows in shown
        ]

    def clean(self) -> dict[str, Any]:
        given = super().clean() or {}
        for which, number in (pair for kind in self.things for pair in self.rows(kind)):
            if (given.get(which.name) is None) != (given.get(number.name) is None) and not (which.errors or number.errors):
                self.add_error(number.name, ValidationError(_("Say which and how many."), code="half"))
        return given

    def given_of(self, kind: str) -> list[tuple[Any, int]]:
        """What was said of a kind: things and how many of each."""
        pairs = [(self.cleaned_data.get(one.name), self.cleaned_data.get(other.name)) for one, other in self.rows(kind)]
        return [(thing, number) for thing, number in pairs if thing is not None and number]


def key_of(thing: Any) -> str:
    """What a choice of it is sent as."""
    return f"{thing._meta.model_name}-{thing.pk}"


class OutputsForm(RuledForm):
    """A form that says which lines were made, how many, and into which box each went."""

    def add_outputs(self, lines: Any, rows: Sequence[int], *, with_stems: bool = True, with_values: bool = False) -> None:
        """Add the fields of so many lines made."""
        self.output_numbers = rows
        self.output_kinds = ["line", "made", *(["stems"] if with_stems else []), "box", *(["value"] if with_values else [])]
        for row in rows:
            self._add_output(row, lines)

    def _add_output(self, row: int, lines: Any) -> None:
        fields: dict[str, forms.Field] = {
            "line": forms.ModelChoiceField(queryset=lines, label=_("Line"), required=False),
            "made": forms.IntegerField(label=_("Made"), min_value=1, max_value=MOST, required=False),
            "stems": forms.IntegerField(
                label=_("Stems used"), min_value=1, required=False, help_text=_("Only for a weight or a piece.")
            ),
            "box": BoxChoice(
                queryset=Box.objects.on_shelves(), label=_("Into the box"), required=False, empty_label=_("not yet boxed")
            ),
            "value": MoneyField(
                label=_("Value of one, to share the cost by"), required=False,
                help_text=_("Leave all empty to share by stems."),
            ),
        }
        for kind in self.output_kinds:
            self.fields[f"{kind}_{row}"] = fields[kind]

    def output_rows(self) -> list[list[BoundField]]:
        """The fields of each line made, for the page."""
        return [[self[f"{kind}_{row}"] for kind in self.output_kinds] for row in self.output_numbers]

    def clean(self) -> dict[str, Any]:
        given = super().clean() or {}
        for row in self.output_numbers:
            if bool(given.get(f"line_{row}")) != bool(given.get(f"made_{row}")):
                self.add_error(f"made_{row}", ValidationError(_("Name the line and how many were made."), code="half"))
        return given

    def outputs(self) -> list[Output]:
        """The lines made."""
        given = self.cleaned_data
        return [
            Output(
                given[f"line_{row}"], given[f"made_{row}"], given.get(f"stems_{row}"), given.get(f"value_{row}"),
                given[f"box_{row}"],
            )
            for row in self.output_numbers
            if given[f"line_{row}"]
        ]
