"""What each brought in beside what it cost, best first, as a picture."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django.utils.translation import gettext_lazy as _

from ledger.facts.pictures import RankedBars, RankedRow
from ledger.facts.printing import Money

from ..queries.ranking import Ranking
from .earned_rows import EarnedRow

MOST_ROWS = 15


def picture_of(ranking: Ranking, rows: Mapping[tuple[str, int], EarnedRow], title: Any) -> RankedBars | None:
    """The first fifteen of a ranking; None where nothing is ranked."""
    drawn = [_row(rows[one.of.key]) for one in ranking.rows[:MOST_ROWS]]
    if not drawn:
        return None
    money, (first, *_rest) = Money(), drawn
    says = _("Best for each unit of what is scarce: %(name)s, which brought in %(came)s and cost %(cost)s. %(n)d are drawn.") % {
        "name": first.name, "came": money.minor(first.numbers[0]), "cost": money.minor(first.numbers[2]), "n": len(drawn),
    }
    labels = (_("Brought in"), _("Unsold, at its likely price"), _("Cost"))
    return RankedBars("earned", title, says, _("Best first"), labels, drawn)


def _row(row: EarnedRow) -> RankedRow:
    return RankedRow(row.of.name if row.of.key[0] != "planting" else f"{row.of.name}, {row.of.parts[0].of.planting.where}", (
        row.income, row.fetches, row.cost,
    ))
