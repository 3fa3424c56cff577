"""Which crop made most of what is scarce: bed or hours, over the season or in one month of it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from ledger.reckoning.scarce import Candidate, ranking
from ledger.reckoning.taking import proportion

from ..models import LeastStems
from .figures import HUNDREDTHS, WEEK, Figures
from .groups import Group

SCARCE = ("bed", "hours")
UNIT = {"bed": HUNDREDTHS * WEEK, "hours": 60}


@dataclass(frozen=True)
class Ranked:
    """One group in its place: what it took of what is scarce and contributed for each unit, in millionths."""

    place: int
    of: Group
    needs: int
    rate: int


@dataclass(frozen=True)
class Ranking:
    """The groups in order; `apart`: those not ranked, each with why. `least_stems`: the floor, None where none is set.

    Needs are hundredths of m2 x days, or minutes; rates a m2-week, or an hour.
    """

    scarce: str
    month: int | None
    least_stems: int | None
    rows: Sequence[Ranked]
    apart: Sequence[tuple[Group, str]]


def least_stems_on(on: date) -> int | None:
    """The fewest stems a season is judged by, as set by a day; None where nothing is set."""
    return LeastStems.objects.standing_on(on).order_by("-on", "-pk").values_list("stems", flat=True).first()


def ranked_groups(groups: Sequence[Group], *, scarce: str, month: int | None, on: date) -> Ranking:
    """Rank groups by contribution for each m2-week or hour they took, ever or in one month of the year."""
    least = least_stems_on(on)
    by_key = {group.key: group for group in groups}
    candidates = [
        Candidate(group.key, group.said.contribution, needs_of(group.said, scarce, month), group.most_stems, group.missing)
        for group in groups
    ]
    claims, apart = ranking(candidates, least_stems=least)
    rows = [
        Ranked(place, by_key[claim.key], claim.needs, proportion(claim.contribution, UNIT[scarce], claim.needs))
        for place, claim in enumerate(claims, start=1)
    ]
    return Ranking(scarce, month, least, rows, [(by_key[key], why) for key, why in apart])


def needs_of(figures: Figures, scarce: str, month: int | None) -> int:
    """What it took of what is scarce: hundredths of m2 x days, or minutes."""
    return figures.m2_days_in(month) if scarce == "bed" else figures.minutes_in(month)
