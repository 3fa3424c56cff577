"""The form of a whole count sheet, typed in as it was written."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy as _

from ledger.facts.ruled import RuledForm
from ledger.stock.models import Batch, Box
from ledger.stock.queries import CountedRow, TakePlace

UNBOXED = "none"


class TakeSheetForm(RuledForm):
    """A number for each batch in each place; empty: not counted; left as it was counted before: not counted anew."""

    numbers = ("counted_",)

    def __init__(self, *args: Any, places: Sequence[TakePlace], shown: bool, **given: Any) -> None:
        super().__init__(*args, **given)
        self.places = places
        for place, row in self._rows():
            says = _("The record says %(n)d.") % {"n": row.there} if shown else ""
            what = _("%(batch)s, box %(box)s") if place.box else _("%(batch)s, not yet boxed")
            name = _name(place, row)
            self.number(name, what % {"batch": row.batch, "box": place.box}, help_text=says)
            self.fields[name].initial, self.fields[name].show_hidden_initial = _before(row), _before(row) is not None
        self.order_fields([*(_name(place, row) for place, row in self._rows()), "on"])

    def _rows(self) -> Iterator[tuple[TakePlace, CountedRow]]:
        return ((place, row) for place in self.places for row in place.rows.values())

    @property
    def sheet(self) -> list[tuple[TakePlace, list[tuple[CountedRow, Any]]]]:
        """Each place with its batches and their fields, in the order of the printed sheet."""
        return [(place, [(row, self[_name(place, row)]) for row in place.rows.values()]) for place in self.places]

    def clean(self) -> dict[str, Any]:
        given = super().clean()
        if not self.errors and not any(self.counted().values()):
            raise ValidationError(_("Give at least one number that is not noted already."), code="nothing_counted")
        return given

    def counted(self) -> dict[Box | None, dict[Batch, int]]:
        """What is new or another number than before, by place; not what was left as the page showed it."""
        found: dict[Box | None, dict[Batch, int]] = {place.box: {} for place in self.places}
        for place, row in self._rows():
            name = _name(place, row)
            number = self.cleaned_data.get(name)
            if number is not None and number != _before(row) and str(number) != self.seen(name):
                found[place.box][row.batch] = number
        return found


def _name(place: TakePlace, row: CountedRow) -> str:
    return f"counted_{place.key or UNBOXED}_{row.batch.pk}"


def _before(row: CountedRow) -> int | None:
    """What was counted already and still holds."""
    return row.counted.counted if row.counted and row.is_counted else None
