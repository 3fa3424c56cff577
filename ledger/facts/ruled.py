"""Ruled forms: one row for each thing there is, filled in where something is to be said."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.forms import BoundField
from django.utils.translation import gettext_lazy as _

from .forms import MoneyField, VerbForm
from .models import FormKey

MOST = 100_000
STALE = _("What there is changed since this form was opened. Open it again.")


@dataclass(frozen=True)
class Row:
    """One row as shown: what it is, a remark beside it, its fields."""

    heading: Any
    note: Any
    fields: Sequence[BoundField]


class RuledForm(VerbForm):
    """A form whose rows are made from what there is now.

    A number sent for a row that is no longer there (its field's name begins
    with one of `numbers`) makes the form stale, unless this very form was
    already done: then the action returns what it made.
    """

    numbers: tuple[str, ...] = ()

    def number(self, name: str, label: Any, **given: Any) -> None:
        """Add a row's number."""
        field = forms.IntegerField(label=label, required=False, min_value=0, max_value=MOST, **given)
        field.widget.attrs.update({"aria-label": label, "inputmode": "numeric"})
        self.fields[name] = field

    def money(self, name: str, label: Any) -> None:
        """Add a row's amount, left as typed; `amount` reads it where the row counts."""
        attrs = {"inputmode": "decimal", "class": "money", "autocomplete": "off", "aria-label": label}
        self.fields[name] = forms.CharField(label=label, required=False, max_length=20, widget=forms.TextInput(attrs=attrs))

    def amount(self, name: str) -> None:
        """Read a row's amount as minor units, an error beside it where that fails."""
        try:
            self.cleaned_data[name] = MoneyField(required=False).clean(self.cleaned_data.get(name, ""))
        except ValidationError as error:
            self.add_error(name, error)

    def seen(self, name: str) -> str:
        """What the page showed in a row's field when it was opened (`show_hidden_initial`), empty where it did not say."""
        return str(self.data.get(self.add_initial_prefix(name), ""))

    def says(self, name: str) -> bool:
        """Whether anything was said in a row's number, as sent."""
        return bool(self.data[name])

    def clean(self) -> dict[str, Any]:
        given = super().clean() or {}
        gone = [name for name in self.data if name.startswith(self.numbers) and name not in self.fields and self.says(name)]
        if self.numbers and gone and not FormKey.objects.filter(pk=self.data.get("form_key", "")).exists():
            raise ValidationError(STALE, code="stale_form")
        return given


class SheetForm(RuledForm):
    """A sheet whose rows are numbered by the record each is about: its count `n_12`, more fields beside it.

    An action names a row's count `stems_12`.
    """

    def choice(self, name: str, label: Any, choices: Sequence[tuple[str, Any]], **given: Any) -> None:
        """Add a row's choice."""
        field = forms.ChoiceField(label=label, choices=choices, required=False, **given)
        field.widget.attrs["aria-label"] = label
        self.fields[name] = field

    def tick(self, name: str, label: Any) -> None:
        """Add a row's yes or no."""
        self.fields[name] = forms.BooleanField(label=label, required=False)
        self.fields[name].widget.attrs["aria-label"] = label

    def refuse(self, error: ValidationError) -> None:
        if hasattr(error, "error_dict"):
            error = ValidationError({name.replace("stems_", "n_", 1): errors for name, errors in error.error_dict.items()})
        super().refuse(error)


def numbered(sent: Any, start: str) -> list[int]:
    """The records whose row of a sheet was sent with something in the field that begins with `start`."""
    keys = [name.removeprefix(start) for name in sent if name.startswith(start) and sent[name]]
    return [int(key) for key in keys if key.isdecimal() and len(key) < 19]
