"""What is sold at a stall day and entered only after it was put away: part of what was missing then."""

from __future__ import annotations

from datetime import datetime

from django.utils.translation import gettext_lazy as _

from ledger.facts.models import User
from ledger.sales.models import Sale, StallDay
from ledger.sales.queries.late import found_late_for, missed_of, there_before
from ledger.stock.actions import Row, post, unpost
from ledger.stock.models import Batch, Box, Line, Movement


def was_missing(
    stall_day: StallDay | None, line: Line, bunches: int, *, box: Box | None = None, batch: Batch | None = None
) -> list[tuple[Movement, int]]:
    """Which bunches that putting away missed now turn out to have gone otherwise, at most so many: what wrote them off, how many.

    The line's balance is locked. With a box or batch only what was missing there.
    """
    found: list[tuple[Movement, int]] = []
    if stall_day is None:
        return found
    for shortage, missing in missed_of(stall_day, line):
        if box not in (None, shortage.box) or batch not in (None, shortage.batch):
            continue
        number = min(missing, bunches, there_before(shortage, stall_day.on))
        if number > 0:
            found.append((shortage, number))
            bunches -= number
    return found


def find_again(by: User, sale: Sale, shortage: Movement, bunches: int) -> Movement:
    """Find them where and when they were missed; whoever calls it takes them out at once, for a sale begun already."""
    why = str(_("was not missing: %(day)s, entered late")) % {"day": sale.stall_day}
    row = Row(shortage.batch, shortage.box, bunches, Movement.Kind.FOUND, why[:120], brings_back=shortage)
    return post(by=by, on=shortage.on, rows=[row])[0]


def miss_again(by: User, gone: Movement, since: datetime) -> None:
    """Let what was brought back for a row now undone, of a sale begun at `since`, be missing again."""
    for found in found_late_for(gone, since):
        unpost(by=by, movements=[found])
