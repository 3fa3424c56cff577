"""How sure a few hangings make us: their middle, its range, and how far two kinds lie apart.

Stems of one hanging dry and spoil together, so a hanging is one observation,
however many stems it holds. Nothing is supposed of how losses or days spread:
only their order counts. Whole numbers in, whole numbers out, in the same unit.

Sources: W. R. Thompson, "On confidence ranges for the median", Annals of
Mathematical Statistics 7 (1936), 122-128; H. B. Mann and D. R. Whitney, "On a
test of whether one of two random variables is stochastically larger than the
other", the same 18 (1947), 50-60; J. L. Hodges and E. L. Lehmann, "Estimates
of location based on rank tests", the same 34 (1963), 598-611.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import accumulate
from math import comb

WRONG_ONCE_IN = 20
FEWEST = 6
FEWEST_EACH = 4


@dataclass(frozen=True)
class Apart:
    """By how much one kind exceeds another: the likeliest, and the least and most it may be."""

    least: int
    likely: int
    most: int

    @property
    def told_apart(self) -> bool:
        """Whether no difference at all can be ruled out."""
        return self.least > 0 or self.most < 0


def middle(numbers: Iterable[int]) -> int:
    """Return the median; of an even number the mean of the middle two, halves up.

    Raises ValueError when there is none.

    >>> middle([5, 1, 2]), middle([1, 2])
    (2, 2)
    """
    ranked = sorted(numbers)
    if not ranked:
        raise ValueError("nothing has no middle")
    half = len(ranked) // 2
    return ranked[half] if len(ranked) % 2 else (ranked[half - 1] + ranked[half] + 1) // 2


def range_of_middle(numbers: Iterable[int]) -> tuple[int, int] | None:
    """Return between what the true middle lies, wrong at most once in twenty; None where too few.

    The k-th smallest and k-th largest, k as large as the binomial chances of
    falling on one side of the middle allow. Fewer than six are too few: even
    the whole range would miss more often than once in twenty.

    >>> range_of_middle([3, 1, 4, 1, 5, 9]), range_of_middle([3, 1, 4, 1, 5])
    ((1, 9), None)
    """
    ranked = sorted(numbers)
    beyond = accumulate(comb(len(ranked), k) for k in range(len(ranked) // 2))
    inward = sum(1 for ways in beyond if 2 * ways * WRONG_ONCE_IN <= 2 ** len(ranked))
    return (ranked[inward - 1], ranked[-inward]) if inward else None


def apart(ours: Sequence[int], theirs: Sequence[int], *, pairs: int = 1) -> Apart | None:
    """Return by how much `ours` exceed `theirs`, wrong at most once in twenty; None where too few.

    The middle of all differences between one of ours and one of theirs, and
    the k-th smallest and largest of them, k by the exact Mann-Whitney chances.
    Where `pairs` kinds are compared two by two, each is judged that many times
    more strictly (Bonferroni), so that one lucky pair does not mislead. Four
    of each are enough for one pair.

    >>> apart([1, 2, 3, 4], [11, 12, 13, 14])
    Apart(least=-13, likely=-10, most=-7)
    """
    differences = sorted(one - other for one in ours for other in theirs)
    inward = _inward(len(ours), len(theirs), pairs)
    return Apart(differences[inward - 1], middle(differences), differences[-inward]) if inward else None


def _inward(ours: int, theirs: int, pairs: int) -> int:
    beyond = accumulate(_ways(ours, theirs))
    return sum(1 for ways in beyond if 2 * ways * WRONG_ONCE_IN * pairs <= comb(ours + theirs, ours))


def _ways(ours: int, theirs: int) -> list[int]:
    """In how many orders exactly u pairs stand one way, for u from nil to half of all pairs."""
    most = ours * theirs // 2
    ways = [1] + [0] * most
    for step in range(1, min(ours, theirs) + 1):
        for u in range(most, max(ours, theirs) + step - 1, -1):
            ways[u] -= ways[u - max(ours, theirs) - step]
        for u in range(step, most + 1):
            ways[u] += ways[u - step]
    return ways
