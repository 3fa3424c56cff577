"""Amounts by element of cost: where on the path a cost arose, and its kind."""

from collections.abc import Callable, Mapping, Sequence

from ledger.reckoning.sharing import share_amounts
from ledger.reckoning.taking import cost_of_taking, proportion

from .facts import Element

Amounts = Mapping[Element, int]

STAGE_OF = {
    "planting": "growing",
    "plot": "bed_space",
    "lot": "cutting",
    "hanging": "drying",
    "place": "drying_space",
    "run": "bunching",
    "material": "materials",
    "store": "storage",
    "stall_day": "selling",
    "order": "selling",
    "sale": "selling",
    "job": "selling",
    "workshop": "selling",
    "holding": "overheads",
}
STAGES_TO_THE_BOX = ("growing", "bed_space", "cutting", "drying", "drying_space", "bunching")


def added(*several: Amounts) -> dict[Element, int]:
    """Return the sum of several amounts, elements of nil left out."""
    given = [amounts for amounts in several if amounts]
    if not given:
        return {}
    total: dict[Element, int] = dict(given[0])
    for amounts in given[1:]:
        for element, amount in amounts.items():
            total[element] = total.get(element, 0) + amount
    return without_nil(total)


def less(amounts: Amounts, taken: Amounts) -> dict[Element, int]:
    """Return `amounts` without what was `taken`."""
    if not taken:
        return without_nil(dict(amounts))
    left = dict(amounts)
    for element, amount in taken.items():
        left[element] = left.get(element, 0) - amount
    return without_nil(left)


def without_nil(amounts: dict[Element, int]) -> dict[Element, int]:
    """Return amounts without elements of nil."""
    return {element: amount for element, amount in amounts.items() if amount} if 0 in amounts.values() else amounts


def total(amounts: Amounts) -> int:
    """Return the sum over all elements."""
    return sum(amounts.values())


def each(amounts: Amounts, change: Callable[[int], int]) -> dict[Element, int]:
    """Return what `change` makes of every element's amount."""
    changed = {element: change(amount) for element, amount in amounts.items()}
    return {element: amount for element, amount in changed.items() if amount}


def part_of(amounts: Amounts, numerator: int, denominator: int) -> dict[Element, int]:
    """Return amounts x numerator / denominator, halves away from zero, for each element."""
    return each(amounts, lambda amount: proportion(amount, numerator, denominator))


def taken_of(left_amounts: Amounts, *, left: int, taking: int) -> dict[Element, int]:
    """Return what `taking` of `left` carry away of each element; the last take all."""
    if taking == left:
        return dict(left_amounts)
    return {
        element: part for element, amount in left_amounts.items()
        if (part := cost_of_taking(amount, left=left, taking=taking))
    }


def parted(amounts: Amounts, weights: Sequence[int]) -> list[dict[Element, int]]:
    """Return amounts parted by weights; with nothing to go to, every part is nil."""
    if not sum(weights):
        return [{} for _ in weights]
    return share_amounts(amounts, weights)
