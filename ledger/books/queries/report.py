"""The whole of the bed-earnings page: groups, ranking, verdicts and the bridge to the year."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from ledger.costing.queries import book

from .bridge import YearBridge, bridge
from .earning import Earned, earned_in, latest_season
from .groups import Group, grouped, parted_again
from .ranking import Ranking, least_stems_on, ranked_groups
from .tracing import Tracing
from .verdict import Verdict, verdicts


@dataclass(frozen=True)
class Question:
    """Which seasons (None: the latest with stems), gathered by what; what is scarce, ever or in one month.

    `within`: only what belongs to one group, as (kind, number), by planting.
    """

    first: int | None = None
    last: int | None = None
    by: str = "planting"
    scarce: str = "bed"
    month: int | None = None
    within: tuple[str, int] | None = None


@dataclass(frozen=True)
class Report:
    """The answer as of a day; verdicts and the bridge are of all the seasons' plantings, and left out within one group."""

    on: date
    first: int
    last: int
    by: str
    within: Group | None
    groups: Sequence[Group]
    ranking: Ranking
    verdicts: Sequence[Verdict]
    bridge: YearBridge | None


def report(asked: Question, on: date, *, bridged: bool = True) -> Report:
    """Bed earnings of the seasons asked about as of a day; without the bridge where nobody looks at it."""
    made = book(on)
    tracing = Tracing(made, on)
    first = asked.first if asked.first is not None else latest_season(made)
    last = asked.last if asked.last is not None else first
    rows = earned_in(made, tracing, first, last)
    within = _within(rows, asked)
    groups = parted_again(within) if within else grouped(rows, asked.by)
    return Report(
        on, first, last, "planting" if within else asked.by, within, groups,
        ranked_groups(groups, scarce=asked.scarce, month=asked.month, on=on),
        [] if within else verdicts(rows, least_stems_on(on)),
        bridge(rows, tracing, first, last) if bridged and not within else None,
    )


def _within(rows: Sequence[Earned], asked: Question) -> Group | None:
    if asked.within is None:
        return None
    return next((group for group in grouped(rows, asked.within[0]) if group.key == asked.within), None)
