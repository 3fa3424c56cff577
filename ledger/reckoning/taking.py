"""Taking some of what is left, and the cost that goes with it."""


def cost_of_taking(left_cost: int, *, left: int, taking: int) -> int:
    """Return what `taking` of the `left` bunches carry away, in millionths.

    Halves up; the last bunches take all that is left, so that a batch taken in
    any steps gives up its cost exactly. Raises ValueError when more would go
    than is left.

    >>> cost_of_taking(100, left=3, taking=1), cost_of_taking(67, left=2, taking=2)
    (33, 67)
    """
    if not 0 <= taking <= left:
        raise ValueError(f"cannot take {taking} of {left}")
    if taking == left:
        return left_cost
    return (2 * left_cost * taking + left) // (2 * left)


def proportion(amount: int, numerator: int, denominator: int) -> int:
    """Return amount x numerator / denominator, halves away from zero.

    Any unit: the answer is in that of `amount`. Raises ValueError unless the
    denominator is positive.

    >>> proportion(5, 1, 2), proportion(-5, 1, 2)
    (3, -3)
    """
    if denominator <= 0:
        raise ValueError(f"cannot take a proportion of {denominator}")
    product = amount * numerator
    if product < 0:
        return -proportion(-product, 1, denominator)
    return (2 * product + denominator) // (2 * denominator)


def provisional_release(spent: int, *, planned: int, stems: int, expected: int) -> int:
    """Return what the `stems` cut so far carry away while more are to come.

    `spent` is the cost so far and `planned` the whole cost planned, both in
    millionths; `expected` the stems expected in all. The stems bear their part
    of the larger cost over the larger number, halves up, and never more than
    was spent. Raises ValueError when stems or expectation are negative.

    >>> provisional_release(300, planned=500, stems=20, expected=500)
    20
    """
    if stems < 0 or expected < 0:
        raise ValueError(f"cannot cut {stems} stems of {expected} expected")
    if not stems:
        return 0
    return min(spent, proportion(max(spent, planned), stems, max(stems, expected)))
