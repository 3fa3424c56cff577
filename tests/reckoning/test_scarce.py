"""Ranking what competes for something scarce."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.reckoning.scarce import Claim, plan, ranked, total_contribution

CLAIMS = st.lists(st.tuples(st.integers(-50, 500), st.integers(1, 20), st.integers(0, 30)), max_size=8).map(
    lambda rows: [Claim(place, *row) for place, row in enumerate(rows)]
)


def test_rank_is_by_what_is_scarce_not_by_piece():
    """600 a piece that takes three beds ranks after 300 that takes one."""
    best, second = ranked([Claim("Y", 600, 3, 100), Claim("X", 300, 1, 60)])
    assert (best.key, best.rate, second.key, second.rate) == ("X", Fraction(300), "Y", Fraction(200))


def test_ties_keep_their_order():
    """Equal rates stay in the order they were given."""
    assert [claim.key for claim in ranked([Claim("B", 2, 1, 1), Claim("A", 4, 2, 1)])] == ["B", "A"]


def test_plan_fills_in_whole_units():
    """Room too small for the better claim goes to one that fits."""
    claims = [Claim("wide", 100, 7, 5), Claim("narrow", 10, 2, 5)]
    assert plan(claims, 10) == {"wide": 1, "narrow": 1}


def test_what_brings_nothing_is_not_made():
    """Room left over is no reason to make a loss."""
    assert plan([Claim("loss", -1, 1, 5), Claim("nil", 0, 1, 5)], 10) == {"loss": 0, "nil": 0}


def test_less_than_no_room_is_refused():
    """Room cannot be negative."""
    with pytest.raises(ValueError, match="-1 is not available"):
        plan([], -1)


@pytest.mark.parametrize(("needs", "demand"), [(0, 1), (-1, 1), (1, -1)])
def test_claims_that_cannot_be_are_refused(needs, demand):
    """A claim takes up something, and wants none or more."""
    with pytest.raises(ValueError, match=f"cannot need {needs} for each of {demand}"):
        Claim("A", 10, needs, demand)


@given(claims=CLAIMS, available=st.integers(0, 300))
def test_plan_stays_within_room_and_demand(claims, available):
    """Nobody gets more than asked, and all together no more than there is."""
    units = plan(claims, available)
    assert all(0 <= units[claim.key] <= claim.demand for claim in claims)
    assert sum(units[claim.key] * claim.needs for claim in claims) <= available
    assert total_contribution(claims, units) >= 0


@given(claims=CLAIMS)
def test_with_room_enough_all_that_pays_is_made(claims):
    """Where nothing is scarce every paying claim is met."""
    units = plan(claims, 10**6)
    assert units == {claim.key: claim.demand if claim.contribution > 0 else 0 for claim in claims}
