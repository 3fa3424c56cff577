"""Charging a plot's or drying place's year to what stood or hung in it.

Fixed production cost is spread over normal use (IAS 2, paragraph 13): a thin
year does not make each planting dearer, and a full one is never charged more
than was spent.
"""

from collections.abc import Hashable, Sequence
from dataclasses import dataclass
from typing import Generic, TypeVar

from ledger.reckoning.sharing import MILLION, share_out
from ledger.reckoning.taking import proportion

K = TypeVar("K", bound=Hashable)


@dataclass(frozen=True)
class Use(Generic[K]):
    """Room used for a time: m2-days of a bed, hook-days of a drying place."""

    key: K
    unit_days: int


def charge_space(year_cost: int, *, normal: int, uses: Sequence[int]) -> tuple[list[int], int]:
    """Return what each use bears of a year's cost, and what stood idle.

    `normal` and `uses` in unit-days, cost in millionths. The rate is the cost
    over the larger of normal and actual use; charges and idle add up to the
    cost exactly. Raises ValueError when a use or normal is negative.

    >>> charge_space(365, normal=15_300, uses=[9_180])
    ([219], 146)
    """
    if normal < 0:
        raise ValueError(f"normal use cannot be {normal}")
    unused = max(0, normal - sum(uses))
    if not normal and not any(uses):
        return [0] * len(uses), year_cost
    *charges, idle = share_out(year_cost, [*uses, unused])
    return charges, idle


def charge_uses(year_cost: int, *, normal: int, uses: Sequence[Use[K]]) -> tuple[dict[K, int], int]:
    """Return `charge_space` by key; uses of one key are added up.

    Callers put the uses in order of (day, key).
    """
    charges, idle = charge_space(year_cost, normal=normal, uses=[use.unit_days for use in uses])
    by_key: dict[K, int] = {}
    for use, charge in zip(uses, charges, strict=True):
        by_key[use.key] = by_key.get(use.key, 0) + charge
    return by_key, idle


def space_rate(year_cost: int, *, normal: int, actual: int) -> int:
    """Return the cost of one unit of room for one day, in millionths of `year_cost`'s unit.

    For showing only, halves up: charges are shared from the cost itself.
    Raises ValueError where there is neither normal nor actual use.
    """
    return proportion(year_cost, MILLION, max(normal, actual))
