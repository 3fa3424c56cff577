"""What rows of the stock book do to the lines they are of: the balances, and promises that what is left does not cover."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from datetime import date
from typing import TYPE_CHECKING

from django.utils.translation import gettext_lazy as _

from ledger.facts.models import User
from ledger.facts.writing import keep, refusal
from ledger.stock.models import Balance, Batch
from ledger.stock.queries.seasons import seasons_made, spare_by_season

from .shortness import mark_short

if TYPE_CHECKING:
    from .book import Row

Changes = dict[Batch, int]


def by_line(rows: Iterable[Row]) -> dict[int, Changes]:
    """By line what rows change of each of its batches, in order of line; a batch only moved is nil."""
    found: dict[int, Changes] = defaultdict(lambda: defaultdict(int))
    for row in sorted(rows, key=lambda row: row.batch.line_id):
        found[row.batch.line_id][row.batch] += row.bunches
    return found


def keep_lines(
    lines: Mapping[int, Changes], balances: Mapping[int, Balance], on: date, takes_promised: bool, by: User
) -> None:
    """Change the balances of lines, locked; what was promised and goes is refused, or left short with `takes_promised`."""
    for line, changes in lines.items():
        balance = balances[line]
        if balance.held and min(changes.values()) < 0:
            _keep_seasons(balance, changes, on, takes_promised, by)
        change = sum(changes.values())
        beyond = balance.held - (balance.on_hand + change)
        if change < 0 and beyond > 0:
            if not takes_promised:
                raise refusal(
                    "bunches", _("%(held)d of %(on_hand)d are promised; only %(free)d are free."), code="not_free",
                    held=balance.held, on_hand=balance.on_hand, free=balance.free,
                )
            mark_short(by=by, balance=balance, on=on, bunches=beyond)
        balance.on_hand += change
        keep(balance)


def _keep_seasons(balance: Balance, changes: Changes, on: date, takes_promised: bool, by: User) -> None:
    """Let no season be promised beyond what is left of it, whatever there is of others."""
    spare = spare_by_season(balance.line_id)
    if not spare:
        return
    by_season: dict[int, int] = defaultdict(int)
    made = seasons_made(changes)
    for batch, change in changes.items():
        by_season[made[batch.pk]] += change
    for season, left in sorted(spare.items()):
        beyond = -(left + by_season[season])
        if by_season[season] >= 0 or beyond <= 0:
            continue
        if not takes_promised:
            raise refusal(
                "bunches", _("Of season %(season)s only %(free)d are not promised. Take others, or cancel there first."),
                code="not_of_season", season=str(season), free=max(left, 0),
            )
        mark_short(by=by, balance=balance, on=on, bunches=beyond, season=season)
