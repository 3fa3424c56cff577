"""A loft round: what came down along a place's hangings, entered as one sheet."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date

from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy as _

from ledger.facts.models import User
from ledger.facts.rows import of_row
from ledger.facts.writing import action, check_day, refusal

from ..models import Hanging, Place, TakingDown
from .loft import take_down


@dataclass(frozen=True)
class DownRow:
    """So many stems down of one hanging, the lost ones among them by reason."""

    hanging: Hanging
    stems: int
    losses: Mapping[str, int] = field(default_factory=dict)


@action("loft")
def take_down_round(*, by: User, on: date, place: Place, rows: Sequence[DownRow]) -> list[TakingDown]:
    """Record one day's taking down in a place, all of it or nothing.

    A refusal names its row: `stems` with the hanging's key, such as `stems_12`.
    Hangings are held in the order of their keys.
    """
    check_day(on)
    if not rows:
        raise refusal(None, _("Nothing is filled in: enter what came down of one hanging at least."), code="empty")
    taken, refused = [], {}
    for row in sorted(rows, key=lambda row: row.hanging.pk):
        try:
            taken.append(_take_down_row(by, on, place, row))
        except ValidationError as error:
            refused.update(of_row(error, row.hanging.pk, fields=("stems",)))
    if refused:
        raise ValidationError(refused)
    return taken


def _take_down_row(by: User, on: date, place: Place, row: DownRow) -> TakingDown:
    if row.hanging.place_id != place.pk:
        raise refusal(None, _("It does not hang in %(place)s."), code="elsewhere", place=place)
    return take_down(by=by, hanging=row.hanging, on=on, stems=row.stems, losses=row.losses)
