"""Net realisable value, and the lower of it and cost.

Any one unit of money throughout (millionths or minor units). After IAS 2,
paragraphs 9, 28 to 30 and 33: item by item, and never above cost.
"""

from collections.abc import Sequence

from ledger.reckoning.taking import proportion

WHOLE_BP = 10_000


def net_realisable(
    price_net: int, *, to_finish: int = 0, fee_bp: int = 0, tax_bp: int = 0, per_unit_selling: int = 0
) -> int:
    """Return what a price net of tax leaves after what is still to be paid out.

    Off go the cost to finish, the fee (basis points of the price with tax, halves
    up) and the selling cost a unit. What costs more to sell than it fetches
    is worth nil, not less. Raises ValueError when an argument is negative.

    >>> net_realisable(1000, to_finish=100, fee_bp=200, tax_bp=2000, per_unit_selling=50)
    826
    """
    if min(price_net, to_finish, fee_bp, tax_bp, per_unit_selling) < 0:
        raise ValueError("a price and what is paid out of it cannot be negative")
    fee = proportion(price_net, fee_bp * (WHOLE_BP + tax_bp), WHOLE_BP * WHOLE_BP)
    return max(0, price_net - to_finish - fee - per_unit_selling)


def lower_of(cost: int, realisable: int | None) -> int:
    """Return cost, or what the goods will fetch where that is known and lower."""
    return cost if realisable is None else min(cost, realisable)


def write_down(items: Sequence[tuple[int, int | None]]) -> int:
    """Return by how much (cost, realisable) pairs are worth less than they cost.

    Each item by itself: a gain waiting in one does not hide the loss in
    another.

    >>> write_down([(50, 30), (10, 30)]), write_down([(60, 60)])
    (20, 0)
    """
    return sum(cost - lower_of(cost, realisable) for cost, realisable in items)


def reversal(cost: int, *, carried: int, realisable: int) -> int:
    """Return how much of an earlier write-down is taken back, never beyond cost.

    `carried` is the value after the earlier write-down. Nil when the goods
    still fetch no more than that.

    >>> reversal(100, carried=75, realisable=105)
    25
    """
    return max(0, lower_of(cost, realisable) - carried)
