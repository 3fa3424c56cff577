"""Parting money and counts so that nothing is lost or made on the way.

Inside the path money is whole millionths of a minor unit; on screen and paper
it is whole minor units. Both ways the parts add up to what was parted.
"""

from collections.abc import Hashable, Mapping, Sequence
from typing import TypeVar

MILLION = 1_000_000

K = TypeVar("K", bound=Hashable)


def share_out(total: int, weights: Sequence[int]) -> list[int]:
    """Return `total` parted by `weights`, by largest remainder.

    Ties go to the earlier place, so callers put the parts in order of
    (day, key). A negative total parts as its opposite does. Raises ValueError
    for a negative weight, and when a total other than nil has nothing to go to.

    >>> share_out(100, [1, 1, 1]), share_out(-100, [1, 1, 1])
    ([34, 33, 33], [-34, -33, -33])
    """
    if not weights or min(weights) < 0:
        _refuse_negative(weights)
    whole = sum(weights)
    if not whole:
        return _nothing_to_go_to(total, len(weights))
    if whole == max(weights):
        return [total if weight else 0 for weight in weights]
    if total < 0:
        return [-part for part in share_out(-total, weights)]
    parts = [total * weight // whole for weight in weights]
    over = total - sum(parts)
    if over:
        remainders = [total * weight % whole for weight in weights]
        for place in _largest_first(remainders)[:over]:
            parts[place] += 1
    return parts


def _refuse_negative(weights: Sequence[int]) -> None:
    if any(weight < 0 for weight in weights):
        raise ValueError("a share cannot have a negative weight")


def _nothing_to_go_to(total: int, places: int) -> list[int]:
    if total:
        raise ValueError(f"{total} has nothing to be shared over")
    return [0] * places


def _largest_first(remainders: Sequence[int]) -> list[int]:
    return sorted(range(len(remainders)), key=lambda place: (-remainders[place], place))


def share_amounts(amounts: Mapping[K, int], weights: Sequence[int]) -> list[dict[K, int]]:
    """Return every amount of `amounts` parted by `weights`, one dict a part.

    Each key is shared by itself, as `share_out` does; parts of nil are left
    out. Raises ValueError as `share_out` does.

    >>> share_amounts({"pay": 3, "space": 1}, [1, 1])
    [{'pay': 2, 'space': 1}, {'pay': 1}]
    """
    parts: list[dict[K, int]] = [{} for _ in weights]
    only = _only_weight(weights)
    if only is not None:
        parts[only] = {key: amount for key, amount in amounts.items() if amount}
        return parts
    for key, amount in amounts.items():
        for part, share in zip(parts, share_out(amount, weights), strict=True):
            if share:
                part[key] = share
    return parts


def _only_weight(weights: Sequence[int]) -> int | None:
    """The place of the one weight there is, None where there are several or none."""
    whole = sum(weights)
    if not whole or min(weights) < 0 or max(weights) != whole:
        return None
    return weights.index(whole)


def to_minor(millionths: int) -> int:
    """Return millionths as whole minor units, halves away from zero.

    >>> to_minor(1_500_000), to_minor(-1_500_000), to_minor(1_499_999)
    (2, -2, 1)
    """
    if millionths < 0:
        return -to_minor(-millionths)
    return (2 * millionths + MILLION) // (2 * MILLION)


def printed(parts: Sequence[int], total: int | None = None) -> list[int]:
    """Return `parts`, in millionths, as minor units that add up to `total`.

    `total` is the printed total in minor units; left out, it is the sum of the
    parts, halves away from zero. Each part is within one minor unit of the
    truth: the largest remainders are rounded up, ties at the earlier place.
    Raises ValueError when no such rounding reaches the total.

    >>> printed([3_300_000] * 10)
    [4, 4, 4, 3, 3, 3, 3, 3, 3, 3]
    """
    exact = sum(parts)
    if exact < 0:
        return [-part for part in printed([-part for part in parts], None if total is None else -total)]
    rounded = [part // MILLION for part in parts]
    remainders = [part % MILLION for part in parts]
    short = (to_minor(exact) if total is None else total) - sum(rounded)
    if not 0 <= short <= sum(1 for remainder in remainders if remainder):
        raise ValueError(f"parts of {exact} millionths cannot be printed as {total}")
    for place in _largest_first(remainders)[:short]:
        rounded[place] += 1
    return rounded
