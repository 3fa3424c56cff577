"""How long bunches are at their best."""

from __future__ import annotations

from datetime import date

from ledger.facts.actions import undo_within
from ledger.facts.models import User
from ledger.facts.writing import action, record
from ledger.growing.models import Species
from ledger.stock.models import KeepsFor


@action("boxes")
def set_keeps_for(*, by: User, on: date, days: int, species: Species | None = None) -> KeepsFor:
    """Record how many days bunches of a species (None: of any without its own) are at their best, from a day on."""
    return record(KeepsFor(on=on, species=species, days=days), by=by)


@action("boxes")
def undo_keeps_for(*, by: User, keeps_for: KeepsFor) -> KeepsFor:
    """Undo it; what was said before holds again."""
    return undo_within(keeps_for, by=by)
