"""For how many bunches a shelf has room."""

from __future__ import annotations

from datetime import date

from ledger.facts.actions import undo_within
from ledger.facts.models import User
from ledger.facts.writing import action, record
from ledger.stock.models import ShelfRoom


@action("boxes")
def set_shelf_room(*, by: User, on: date, shelf: str, bunches: int) -> ShelfRoom:
    """Record for how many bunches a shelf has room, from a day on."""
    return record(ShelfRoom(on=on, shelf=shelf.strip(), bunches=bunches), by=by)


@action("boxes")
def undo_shelf_room(*, by: User, shelf_room: ShelfRoom) -> ShelfRoom:
    """Undo it; what was said before holds again."""
    return undo_within(shelf_room, by=by)
