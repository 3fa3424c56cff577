"""Changes of holds undone, and holds undone whole."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from django.utils.translation import gettext_lazy as _

from ledger.facts.models import User
from ledger.facts.writing import action, keep, mark_undone, refusal
from ledger.stock.models import Hold, HoldChange
from ledger.stock.queries import lowest_kept, lowest_unpromised
from ledger.stock.queries.seasons import lowest_unpromised_of_season

from .book import lock_lines


@action("selling")
def undo_hold_change(*, by: User, change: HoldChange) -> HoldChange:
    """Undo a change of a hold, if what it keeps still fits, boxes held back or not."""
    return undo_hold_changes(by=by, changes=[change])[0]


@action("selling")
def undo_hold_changes(*, by: User, changes: Sequence[HoldChange]) -> list[HoldChange]:
    """Undo changes of one hold as one (a sending undone), if what it then keeps fits, boxes held back or not."""
    hold = changes[0].hold
    balance = lock_lines([hold.line_id])[hold.line_id]
    first = min(change.on for change in changes)
    before = _left(hold, first)
    undone = [mark_undone(HoldChange.objects.lock(change), by=by) for change in changes]
    _require_left(hold, before, _left(hold, first))
    balance.held -= sum(change.bunches for change in undone)
    keep(balance)
    return undone


@action("selling")
def undo_hold(*, by: User, hold: Hold) -> Hold:
    """Undo a hold with all that became of it: what it keeps is free."""
    balance = lock_lines([hold.line_id])[hold.line_id]
    for change in hold.changes.standing().order_by("-pk"):
        balance.held -= mark_undone(HoldChange.objects.lock(change), by=by).bunches
    keep(balance)
    return mark_undone(Hold.objects.lock(hold), by=by)


@dataclass(frozen=True)
class _Left:
    """The fewest bunches of a hold's line (`of_season`: of the season it is of) that nobody is promised, and the fewest it keeps.

    Each on a day or any later one.
    """

    unpromised: int
    of_season: int
    kept: int


def _left(hold: Hold, on: date) -> _Left:
    unpromised = lowest_unpromised(hold.line, on)
    of_season = unpromised if hold.season is None else lowest_unpromised_of_season(hold.line, hold.season, on)
    return _Left(unpromised, of_season, lowest_kept(hold, on))


def _require_left(hold: Hold, before: _Left, after: _Left) -> None:
    """Refuse to leave less than nothing, or still less where there was less already."""
    if after.unpromised < min(before.unpromised, 0):
        raise refusal(
            "bunches", _("Only %(free)d of %(line)s are free."), code="not_free", free=max(before.unpromised, 0), line=hold.line
        )
    if after.of_season < min(before.of_season, 0):
        raise refusal(
            "bunches", _("Only %(free)d of %(line)s of season %(season)s are free."), code="not_of_season",
            free=max(before.of_season, 0), line=hold.line, season=str(hold.season),
        )
    if after.kept < min(before.kept, 0):
        raise refusal("bunches", _("It keeps only %(kept)d."), code="too_many", kept=max(before.kept, 0))
