"""Movements of one bunch line, and what no movement can be."""

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

RECEIPTS = ("made", "bought", "found")
ISSUES = ("sold", "made_up", "drawn", "written_off")


@dataclass(frozen=True)
class StockMovement:
    """So many bunches of one batch coming in (positive) or going out (negative).

    `key` orders the movements of a day and names a movement out. `kind` is one
    of RECEIPTS or ISSUES. `cost`, in millionths, is what a receipt carries in.
    `brings_back` is the key of the movement out of which this one returns a
    part or all; such a return has no cost of its own and its kind is not read.
    """

    on: date
    key: int
    batch: int
    quantity: int
    kind: str
    cost: int = 0
    brings_back: int | None = None


def in_order(movements: Iterable[StockMovement], on: date) -> list[StockMovement]:
    """Return the movements up to the end of `on` by (day, key), each one checked.

    Raises ValueError for a movement of nothing, a kind that does not fit its
    sign, a cost where none can be, two movements out of one key, a return that
    does not fit its movement, and more going out of a batch than there is.
    """
    ordered = sorted((m for m in movements if m.on <= on), key=lambda m: (m.on, m.key, m.quantity))
    for movement in ordered:
        _check_one(movement)
    _check_returns(ordered, _issues_by_key(ordered))
    _check_batches(ordered)
    return ordered


def _check_one(movement: StockMovement) -> None:
    if not movement.quantity:
        raise ValueError(f"movement {movement.key} moves nothing")
    if movement.brings_back is not None:
        fits, may_cost = movement.quantity > 0, False
    elif movement.quantity > 0:
        fits, may_cost = movement.kind in RECEIPTS, True
    else:
        fits, may_cost = movement.kind in ISSUES, False
    if not fits:
        raise ValueError(f"movement {movement.key}: {movement.quantity} cannot be {movement.kind}")
    if movement.cost < 0 or (movement.cost and not may_cost):
        raise ValueError(f"movement {movement.key} cannot bring a cost of {movement.cost}")


def _issues_by_key(movements: Sequence[StockMovement]) -> dict[int, StockMovement]:
    issues: dict[int, StockMovement] = {}
    for movement in movements:
        if movement.quantity < 0:
            if movement.key in issues:
                raise ValueError(f"two movements out have the key {movement.key}")
            issues[movement.key] = movement
    return issues


def _check_returns(movements: Sequence[StockMovement], issues: Mapping[int, StockMovement]) -> None:
    came_back: Counter[int] = Counter()
    for movement in movements:
        if movement.brings_back is None:
            continue
        issue = issues.get(movement.brings_back)
        if issue is None or issue.on > movement.on:
            raise ValueError(f"movement {movement.key} brings back what had not gone out")
        if issue.batch != movement.batch:
            raise ValueError(f"movement {movement.key} brings back another batch than went out")
        came_back[issue.key] += movement.quantity
        if came_back[issue.key] > -issue.quantity:
            raise ValueError(f"movement {movement.key} brings back more than went out")


def _check_batches(movements: Sequence[StockMovement]) -> None:
    by_day: Counter[tuple[int, date]] = Counter()
    for movement in movements:
        by_day[movement.batch, movement.on] += movement.quantity
    left: Counter[int] = Counter()
    for (batch, day), quantity in sorted(by_day.items()):
        left[batch] += quantity
        if left[batch] < 0:
            raise ValueError(f"batch {batch}: {-left[batch]} more go out on {day} than there are")
