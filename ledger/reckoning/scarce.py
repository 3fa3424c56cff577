"""What to grow or make first when something is scarce: bed, hooks, hours."""

from collections.abc import Hashable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Generic, TypeVar

K = TypeVar("K", bound=Hashable)


@dataclass(frozen=True)
class Claim(Generic[K]):
    """What one unit would bring in and take up, and how many are wanted.

    `contribution` is a unit's price less its variable cost; `needs` is what it
    takes of the scarce thing, in any one whole unit. Raises ValueError for a
    claim that needs nothing or a negative demand.
    """

    key: K
    contribution: int
    needs: int
    demand: int

    def __post_init__(self) -> None:
        if self.needs <= 0 or self.demand < 0:
            raise ValueError(f"{self.key} cannot need {self.needs} for each of {self.demand}")

    @property
    def rate(self) -> Fraction:
        """Contribution per unit of what is scarce."""
        return Fraction(self.contribution, self.needs)


def ranked(claims: Sequence[Claim[K]]) -> list[Claim[K]]:
    """Return the claims by contribution per unit of what is scarce, best first.

    Never by contribution a piece. Ties keep their order.
    """
    return sorted(claims, key=lambda claim: claim.rate, reverse=True)


@dataclass(frozen=True)
class Candidate(Generic[K]):
    """Something grown or made in one stretch of time, with all it contributed and all it took of what is scarce.

    `missing` says which figure is not known; `stems` how many it gave.
    """

    key: K
    contribution: int
    needs: int
    stems: int
    missing: str = ""


def ranking(
    candidates: Sequence[Candidate[K]], *, least_stems: int | None = None
) -> tuple[list[Claim[K]], list[tuple[K, str]]]:
    """Return the candidates ranked by contribution per unit of what is scarce, and those not ranked, each with why.

    Not ranked: what lacks a figure (its `missing`, or "nothing_taken" where it
    took nothing of what is scarce), for a missing figure is inconclusive and
    not zero; and what gave fewer than `least_stems` ("too_few"). After the
    grant report SARE FNE18-892, where crops with a missing data point were
    given no profit and two with too few stems no rank.

    >>> ranking([Candidate("a", 6, 2, 9), Candidate("b", 8, 2, 9), Candidate("c", 9, 1, 4)], least_stems=5)[1]
    [('c', 'too_few')]
    """
    apart = [(one.key, why) for one in candidates if (why := _why_apart(one, least_stems))]
    left_out = {key for key, _ in apart}
    claims = [Claim(one.key, one.contribution, one.needs, demand=1) for one in candidates if one.key not in left_out]
    return ranked(claims), apart


def _why_apart(one: Candidate[K], least_stems: int | None) -> str:
    if one.missing:
        return one.missing
    if least_stems is not None and one.stems < least_stems:
        return "too_few"
    return "" if one.needs > 0 else "nothing_taken"


def plan(claims: Sequence[Claim[K]], available: int) -> dict[K, int]:
    """Return how many of each to make: best first, up to demand, while there is room.

    Whole units; what brings in nothing is not made. Raises ValueError when
    less than nothing is available.
    """
    if available < 0:
        raise ValueError(f"{available} is not available")
    units: dict[K, int] = {}
    for claim in ranked(claims):
        units[claim.key] = min(claim.demand, available // claim.needs) if claim.contribution > 0 else 0
        available -= units[claim.key] * claim.needs
    return units


def total_contribution(claims: Sequence[Claim[K]], units: dict[K, int]) -> int:
    """Return what a plan brings in, in the unit of the contributions."""
    return sum(claim.contribution * units[claim.key] for claim in claims)
