"""Parting one cost over joint products."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.reckoning.joint import less_by_product, split_by_value, split_joint


def test_split_by_value_follows_the_money():
    """Three times the value bears three times the cost."""
    assert split_by_value(1000, [900, 300]) == [750, 250]


def test_known_values_go_before_stems():
    """With every value known, stems do not count."""
    assert split_joint(100, stems=[3, 1], values=[500, 500]) == [50, 50]


def test_smallest_value_is_a_value():
    """One unit of money is known worth."""
    assert split_joint(100, stems=[1, 1], values=[3, 1]) == [75, 25]


@pytest.mark.parametrize("value", [None, 0, -5])
def test_missing_value_falls_back_to_stems(value):
    """One value missing, nil or eaten up by later cost, and all go by stems."""
    assert split_joint(100, stems=[3, 1], values=[500, value]) == [75, 25]


def test_no_parts_of_nothing():
    """Nothing graded, nothing carried."""
    assert split_joint(0, stems=[], values=[]) == []


def test_values_of_other_parts_are_refused():
    """Each part has its stems and its value."""
    with pytest.raises(ValueError, match="1 values do not fit 2 parts"):
        split_joint(100, stems=[3, 1], values=[500])


def test_cost_without_stems_or_values_is_refused():
    """With nothing left to bear it the caller writes it off."""
    with pytest.raises(ValueError, match="nothing to be shared over"):
        split_joint(100, stems=[0, 0], values=[None, None])


@given(
    cost=st.integers(0, 10**12),
    parts=st.lists(st.tuples(st.integers(1, 500), st.none() | st.integers(0, 10**6)), min_size=1, max_size=8),
)
def test_parts_are_the_whole(cost, parts):
    """By whichever measure, nothing is lost at grading."""
    stems, values = [part[0] for part in parts], [part[1] for part in parts]
    assert sum(split_joint(cost, stems=stems, values=values)) == cost


@pytest.mark.parametrize(
    ("terms", "worth"),
    [
        ({"sales": 300}, 300),
        ({"sales": 300, "selling": 50, "finishing": 25}, 225),
        ({"sales": 10, "selling": 50}, 0),
        ({"sales": 5000}, 1000),
    ],
)
def test_by_product_lowers_the_main_cost(terms, worth):
    """It carries what it fetches after costs, from nil up to all there is."""
    assert less_by_product(1000, **terms) == (worth, 1000 - worth)
