"""Parting one cost over what one cut or one grading gives together."""

from collections.abc import Sequence

from ledger.reckoning.sharing import share_out


def split_by_value(cost: int, values: Sequence[int]) -> list[int]:
    """Return a cost shared by relative sales value, by largest remainder.

    A value is that of the whole part, less later cost to finish and sell, any
    one unit. Raises ValueError when no part has a value.

    >>> split_by_value(1000, [900, 300])
    [750, 250]
    """
    return share_out(cost, values)


def split_joint(cost: int, *, stems: Sequence[int], values: Sequence[int | None]) -> list[int]:
    """Return a cost shared by value or, where one is missing or nil, by stems.

    A value that cost to finish and sell takes whole counts as nil. Raises
    ValueError when the two do not name the same parts.

    >>> split_joint(100, stems=[3, 1], values=[500, 500])
    [50, 50]
    >>> split_joint(100, stems=[3, 1], values=[500, None])
    [75, 25]
    """
    return share_out(cost, joint_weights(stems, values))


def joint_weights(stems: Sequence[int], values: Sequence[int | None]) -> Sequence[int]:
    """Return what a joint cost goes by: the values, or the stems where a value is missing or nil.

    Raises ValueError when the two do not name the same parts.
    """
    if len(stems) != len(values):
        raise ValueError(f"{len(values)} values do not fit {len(stems)} parts")
    known = [value for value in values if value is not None and value > 0]
    return known if len(known) == len(stems) else stems


def less_by_product(cost: int, *, sales: int, selling: int = 0, finishing: int = 0) -> tuple[int, int]:
    """Return what a by-product carries, and the cost it leaves to the main ones.

    It carries what it will fetch less what is still to be paid out, never
    below nil and never more than the cost there is.

    >>> less_by_product(100_000, sales=8_000, selling=500)
    (7500, 92500)
    """
    worth = min(cost, max(0, sales - selling - finishing))
    return worth, cost - worth
