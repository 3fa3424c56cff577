"""How sure a few hangings make us."""

from math import comb

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.reckoning.surely import FEWEST, FEWEST_EACH, Apart, apart, middle, range_of_middle

NUMBERS = st.lists(st.integers(0, 10_000), min_size=1, max_size=30)


def counted(ours: int, theirs: int, critical: int) -> bool:
    """Whether `critical` pairs the other way are told apart, and one more is not."""
    low = list(range(0, 1000 * ours, 1000))

    def exceed(pairs: int) -> bool:
        return told_apart(low, others(low, theirs, pairs))

    return exceed(critical) and not exceed(critical + 1)


def others(low: list[int], theirs: int, pairs: int) -> list[int]:
    """As many above all of `low`, except that in `pairs` pairs they lie below."""
    high = [low[-1] + 1 + number for number in range(theirs)]
    for place in range(theirs):
        beneath = min(pairs, len(low))
        high[place] = low[len(low) - beneath] - 1 if beneath else high[place]
        pairs -= beneath
    assert not pairs
    return high


def told_apart(ours: list[int], theirs: list[int]) -> bool:
    """Whether any difference is sure."""
    found = apart(ours, theirs)
    return found is not None and found.told_apart


@pytest.mark.parametrize(
    ("ours", "theirs", "critical"),
    [(4, 4, 0), (3, 5, 0), (5, 5, 2), (6, 6, 5), (8, 8, 13), (10, 10, 23), (20, 20, 127)],
)
def test_critical_counts_are_the_published_ones(ours, theirs, critical):
    """Critical U, two-sided at 0.05, as printed (S. Siegel, Nonparametric Statistics, 1956, table K; from memory)."""
    assert counted(ours, theirs, critical)


def test_difference_of_two_samples_as_published():
    """Hollander and Wolfe, 1973, permeability in hundredths: 0.305 (-0.15 to 0.76); from memory."""
    term = [80, 83, 189, 104, 145, 138, 191, 164, 73, 146]
    earlier = [115, 88, 90, 74, 121]

    assert apart(term, earlier) == Apart(least=-15, likely=31, most=76)


@pytest.mark.parametrize(
    ("number", "low", "high"), [(6, 1, 6), (8, 1, 8), (9, 2, 8), (10, 2, 9), (15, 4, 12), (20, 6, 15), (25, 8, 18)]
)
def test_ranks_about_the_middle_are_the_published_ones(number, low, high):
    """Ranks for the median, at least 95 in 100 (Dixon and Massey, table A-25; from memory)."""
    assert range_of_middle(range(1, number + 1)) == (low, high)


def test_six_hangings_are_the_fewest_with_a_range():
    """Five numbers miss the middle on one side or the other once in sixteen."""
    assert range_of_middle(range(FEWEST - 1)) is None
    assert range_of_middle(range(FEWEST)) == (0, FEWEST - 1)
    assert range_of_middle([]) is None


def test_four_each_are_the_fewest_told_apart():
    """Three and three, or three and four, are never sure; four and four are when no pair lies the other way."""
    high = [100, 101, 102, 103]

    assert apart([1, 2, 3], high[:3]) is None
    assert apart([1, 2, 3], high) is None
    assert told_apart([1, 2, 3, 4][:FEWEST_EACH], high)
    assert apart([], high) is None


def test_more_pairs_want_more_hangings():
    """Of three pairs four and four no longer say anything; five and five do."""
    low, high = list(range(5)), list(range(100, 105))

    assert apart(low[:4], high[:4], pairs=3) is None
    assert apart(low, high, pairs=3) == Apart(-103, -100, -97)


def test_all_alike_are_not_told_apart():
    """Ties everywhere: the difference is nil, and surely so."""
    assert apart([7] * 5, [7] * 5) == Apart(0, 0, 0)
    assert not told_apart([7] * 5, [7] * 5)


def test_nothing_has_no_middle():
    """No hanging, no usual loss."""
    with pytest.raises(ValueError, match="no middle"):
        middle([])


@given(ours=NUMBERS, theirs=NUMBERS)
def test_difference_turned_round_is_its_opposite(ours, theirs):
    """What ours exceed theirs by, theirs fall short of ours by; the likeliest lies within."""
    one, other = apart(ours, theirs), apart(theirs, ours)

    assert (one is None) == (other is None)
    if one and other:
        assert (one.least, one.most) == (-other.most, -other.least)
        assert one.least <= one.likely <= one.most
        assert comb(len(ours) + len(theirs), len(ours)) >= 40


@given(numbers=NUMBERS)
def test_range_holds_the_middle(numbers):
    """The middle of what was seen lies in its range, whatever the order of entry."""
    found = range_of_middle(numbers)

    assert found == range_of_middle(sorted(numbers, reverse=True))
    assert found is None or found[0] <= middle(numbers) <= found[1]


@pytest.mark.parametrize("number", range(6, 13))
def test_range_of_the_middle_holds_in_all_but_one_of_twenty_fair_throws(number):
    """Of all ways numbers can fall about a middle, the range misses it in at most a twentieth, the next one in more."""
    low, high = range_of_middle(range(1, number + 1))
    below = [bin(fall).count("1") for fall in range(2**number)]
    missed = sum(n < low or n >= high for n in below)
    nearer = sum(n < low + 1 or n >= high - 1 for n in below)

    assert missed * 20 <= len(below) < nearer * 20
