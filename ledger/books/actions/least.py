"""How few stems are too few to judge a planting's season by."""

from __future__ import annotations

from datetime import date

from ledger.facts.actions import undo_within
from ledger.facts.models import User
from ledger.facts.writing import action, record

from ..models import LeastStems


@action("books")
def set_least_stems(*, by: User, on: date, stems: int) -> LeastStems:
    """Set the fewest stems a season is ranked and judged by, from a day on."""
    return record(LeastStems(on=on, stems=stems), by=by)


@action("books")
def undo_least_stems(*, by: User, least_stems: LeastStems) -> LeastStems:
    """Undo such a number; the one before it is in force again."""
    return undo_within(least_stems, by=by)
