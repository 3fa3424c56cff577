"""Taking some of what is left."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.reckoning.taking import cost_of_taking, proportion, provisional_release


def test_hand_worked_11_thirds():
    """100 on 3 bunches go as 33, 34 and 33 when taken one by one."""
    assert cost_of_taking(100, left=3, taking=1) == 33
    assert cost_of_taking(67, left=2, taking=1) == 34
    assert cost_of_taking(33, left=1, taking=1) == 33


def test_taking_none_takes_nothing():
    """No bunch, no cost; and none of none is what is left."""
    assert cost_of_taking(100, left=3, taking=0) == 0
    assert cost_of_taking(0, left=0, taking=0) == 0


@pytest.mark.parametrize(("left", "taking"), [(3, 4), (3, -1), (0, 1), (-1, -1)])
def test_more_than_is_left_is_refused(left, taking):
    """Nobody takes what is not there, or less than nothing."""
    with pytest.raises(ValueError, match=f"cannot take {taking} of {left}"):
        cost_of_taking(100, left=left, taking=taking)


@given(cost=st.integers(0, 10**12), steps=st.lists(st.integers(1, 50), min_size=1, max_size=30))
def test_batch_gives_up_its_cost_exactly(cost, steps):
    """Taken in any steps, a batch gives up all it cost, never more on the way."""
    left, left_cost = sum(steps), cost
    for taking in steps:
        taken = cost_of_taking(left_cost, left=left, taking=taking)
        assert 0 <= taken <= left_cost
        left, left_cost = left - taking, left_cost - taken
    assert left_cost == 0


@pytest.mark.parametrize(
    ("amount", "numerator", "denominator", "part"),
    [
        (5, 1, 2, 3),
        (-5, 1, 2, -3),
        (5, -1, 2, -3),
        (-5, -1, 2, 3),
        (10, 1, 3, 3),
        (20, 1, 3, 7),
        (0, 5, 9, 0),
        (7, 0, 3, 0),
    ],
)
def test_proportion_goes_half_up(amount, numerator, denominator, part):
    """Halves go away from zero, whichever of the two is negative."""
    assert proportion(amount, numerator, denominator) == part


@pytest.mark.parametrize("denominator", [0, -1])
def test_proportion_of_nothing_is_refused(denominator):
    """There is no part of nothing or less."""
    with pytest.raises(ValueError, match=f"proportion of {denominator}"):
        proportion(5, 1, denominator)


@given(amount=st.integers(-(10**12), 10**12), numerator=st.integers(0, 1000), denominator=st.integers(1, 1000))
def test_proportion_is_the_nearest(amount, numerator, denominator):
    """No whole number is nearer."""
    assert abs(2 * (proportion(amount, numerator, denominator) * denominator - amount * numerator)) <= denominator


def test_hand_worked_5_early_stems_do_not_bear_it_all():
    """300 spent of 500, 20 cut of 500: one a stem, not fifteen."""
    assert provisional_release(300, planned=500, stems=20, expected=500) == 20


def test_release_never_exceeds_what_was_spent():
    """Where most is cut and much still planned, the stems bear all that was spent."""
    assert provisional_release(300, planned=1000, stems=400, expected=500) == 300


def test_overspent_plan_counts_what_was_spent():
    """Spending beyond the plan is the larger cost: 600 x 100 / 500."""
    assert provisional_release(600, planned=500, stems=100, expected=500) == 120


def test_more_stems_than_expected_bear_all():
    """A better season than expected shares what was spent over what was cut."""
    assert provisional_release(300, planned=300, stems=600, expected=500) == 300


def test_no_expectation_bears_all():
    """With nothing expected the stems cut bear all, halves never lost."""
    assert provisional_release(300, planned=0, stems=1, expected=0) == 300


def test_no_stem_bears_nothing():
    """Before the first cut nothing leaves the planting."""
    assert provisional_release(300, planned=500, stems=0, expected=0) == 0


@pytest.mark.parametrize(("stems", "expected"), [(-1, 5), (5, -1)])
def test_negative_stems_are_refused(stems, expected):
    """Stems are counted from nil."""
    with pytest.raises(ValueError, match=f"cannot cut {stems} stems of {expected}"):
        provisional_release(300, planned=500, stems=stems, expected=expected)


@given(
    spent=st.integers(0, 10**10),
    planned=st.integers(0, 10**10),
    stems=st.integers(0, 5000),
    more=st.integers(0, 500),
    expected=st.integers(0, 5000),
)
def test_more_stems_never_bear_less(spent, planned, stems, more, expected):
    """Each further stem carries something or nothing, never takes back."""
    fewer = provisional_release(spent, planned=planned, stems=stems, expected=expected)
    later = provisional_release(spent, planned=planned, stems=stems + more, expected=expected)
    assert 0 <= fewer <= later <= spent
