"""Readings of a drying place, and the humidity above which it is damp again."""

from __future__ import annotations

from datetime import date, time

from ledger.facts.actions import undo_within
from ledger.facts.models import User
from ledger.facts.writing import action, record

from ..models import DampLimit, Place, Reading


@action("loft")
def note_reading(
    *, by: User, place: Place, on: date, at: time | None = None, temperature_tenths_c: int | None = None,
    humidity_percent: int | None = None,
) -> Reading:
    """Record what the instruments of a place said, a temperature, a humidity or both."""
    reading = Reading(
        place=place, on=on, at=at, temperature_tenths_c=temperature_tenths_c, humidity_percent=humidity_percent
    )
    return record(reading, by=by)


@action("loft")
def undo_reading(*, by: User, reading: Reading) -> Reading:
    """Undo a reading."""
    return undo_within(reading, by=by)


@action("loft")
def set_damp_limit(*, by: User, on: date, humidity_percent: int) -> DampLimit:
    """Record the humidity above which places count as damp again, from a day on."""
    return record(DampLimit(on=on, humidity_percent=humidity_percent), by=by)


@action("loft")
def undo_damp_limit(*, by: User, limit: DampLimit) -> DampLimit:
    """Undo a limit; the one before it is in force again."""
    return undo_within(limit, by=by)
