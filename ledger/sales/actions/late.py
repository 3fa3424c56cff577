"""What is sold at a stall day and entered only after it was put away: part of what was missing then."""

from __future__ import annotations

from datetime import datetime

from django.utils.translation import gettext_lazy as _

from ledger.facts.models import User
from ledger.sales.models import StallDay
from ledger.sales.queries.late import found_late_for, missed_of, there_before
from ledger.stock.actions import Row, post, unpost
from ledger.stock.models import Batch, Box, Line, Movement


def find_missed(
    by: User, stall_day: StallDay | None, line: Line, bunches: int, *, box: Box | None = None, batch: Batch | None = None
) -> list[Movement]:
    """Bring back of what putting away missed what now turns out to have gone otherwise, at most so many; return the rows found.

    The line's balance is locked. With a box or batch only what was missing there. Whoever calls it takes them out at once.
    """
    found: list[Movement] = []
    if stall_day is None:
        return found
    for shortage, missing in missed_of(stall_day, line):
        if box not in (None, shortage.box) or batch not in (None, shortage.batch):
            continue
        number = min(missing, bunches, there_before(shortage, stall_day.on))
        if number > 0:
            found.append(_find(by, stall_day, shortage, number))
            bunches -= number
    return found


def _find(by: User, stall_day: StallDay, shortage: Movement, bunches: int) -> Movement:
    """Find them again where and when they were missed."""
    why = str(_("was not missing: %(day)s, entered late")) % {"day": stall_day}
    row = Row(shortage.batch, shortage.box, bunches, Movement.Kind.FOUND, why[:120], brings_back=shortage)
    return post(by=by, on=shortage.on, rows=[row])[0]


def miss_again(by: User, gone: Movement, since: datetime) -> None:
    """Let what was brought back for a row now undone, of a sale begun at `since`, be missing again."""
    for found in found_late_for(gone, since):
        unpost(by=by, movements=[found])
