"""Charging space by use."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.reckoning.sharing import MILLION
from ledger.reckoning.space import Use, charge_space, charge_uses, space_rate

YEAR = 365 * MILLION
USES = st.lists(st.integers(0, 10**6), max_size=12)


def test_hand_worked_1_normal_use_bears_all():
    """15,300 m2-days of a normal 15,300 bear all 365, bare winter or not."""
    assert charge_space(YEAR, normal=15_300, uses=[15_300]) == ([YEAR], 0)


def test_hand_worked_2_disuse_is_idle():
    """9,180 of 15,300 bear 219.00; 146.00 stood idle."""
    assert charge_space(YEAR, normal=15_300, uses=[9_180]) == ([219 * MILLION], 146 * MILLION)


def test_hand_worked_3_never_more_than_was_spent():
    """18,360 m2-days lower the rate: 365 charged, nothing more."""
    charges, idle = charge_space(YEAR, normal=15_300, uses=[9_180, 9_180])
    assert (charges, idle) == ([YEAR // 2, YEAR // 2], 0)


def test_unused_place_is_all_idle():
    """A place nobody used costs the year all it cost."""
    assert charge_space(YEAR, normal=15_300, uses=[]) == ([], YEAR)
    assert charge_space(YEAR, normal=0, uses=[0]) == ([0], YEAR)


def test_place_without_a_normal_charges_what_used_it():
    """Where no normal is known, what stood there bears it all."""
    assert charge_space(YEAR, normal=0, uses=[1, 0]) == ([YEAR, 0], 0)


@pytest.mark.parametrize(("normal", "uses", "reason"), [(-1, [1], "normal use"), (10, [-1], "negative weight")])
def test_negative_room_is_refused(normal, uses, reason):
    """Room is used or it is not."""
    with pytest.raises(ValueError, match=reason):
        charge_space(YEAR, normal=normal, uses=uses)


@given(cost=st.integers(0, 10**12), normal=st.integers(0, 10**6), uses=USES)
def test_charges_and_idle_are_the_cost(cost, normal, uses):
    """All of a year's cost is charged or idle, and idle only below normal."""
    charges, idle = charge_space(cost, normal=normal, uses=uses)
    assert sum(charges) + idle == cost
    assert not (idle and any(uses) and sum(uses) >= normal)


@given(cost=st.integers(0, 10**12), normal=st.integers(1, 10**6), uses=USES, factor=st.integers(1, 100))
def test_unit_of_room_changes_nothing(cost, normal, uses, factor):
    """Metres or centimetres of rail: the charges are the same."""
    scaled = [use * factor for use in uses]
    assert charge_space(cost, normal=normal * factor, uses=scaled) == charge_space(cost, normal=normal, uses=uses)


def test_uses_of_one_key_are_added_up():
    """A planting cleared in part has two stretches and one charge."""
    uses = [Use("A", 50), Use("B", 30), Use("A", 20)]
    assert charge_uses(200, normal=200, uses=uses) == ({"A": 70, "B": 30}, 100)


def test_rate_is_by_the_larger_of_normal_and_actual():
    """A thin year keeps the normal rate, a full one lowers it."""
    assert space_rate(365, normal=15_300, actual=9_180) == 23_856
    assert space_rate(365, normal=15_300, actual=18_360) == 19_880


def test_rate_of_no_room_is_refused():
    """No use, normal or actual, has no rate."""
    with pytest.raises(ValueError, match="proportion of 0"):
        space_rate(365, normal=0, actual=0)
