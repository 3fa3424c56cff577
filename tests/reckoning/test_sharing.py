"""Sharing out: nothing is lost or made."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.reckoning.sharing import MILLION, printed, share_amounts, share_out, to_minor

TOTALS = st.integers(-(10**15), 10**15)
WEIGHTS = st.lists(st.integers(0, 10**9), min_size=1, max_size=20).filter(any)


def test_hand_worked_21_parts_stay_exact():
    """33 minor units over ten equal parts: 3.3 each inside, three 4s and seven 3s when shown."""
    parts = share_out(33 * MILLION, [1] * 10)
    assert parts == [3_300_000] * 10
    assert printed(parts) == [4, 4, 4, 3, 3, 3, 3, 3, 3, 3]


def test_hand_worked_4_lot_by_stems():
    """A lot of 118.00: 100 stems sold fresh bear 24.58, 380 hung 93.42, the thrown out nothing."""
    fresh, hung, thrown_out = share_out(11_800 * MILLION, [100, 380, 0])
    assert (to_minor(fresh), to_minor(hung), thrown_out) == (2458, 9342, 0)


def test_largest_remainder_gets_the_rest():
    """The unit left over goes where most was cut off, not to the first."""
    assert share_out(10, [1, 3, 3]) == [2, 4, 4]
    assert share_out(7, [5, 1, 4]) == [3, 1, 3]


def test_ties_go_to_the_earlier_place():
    """Of equal remainders the earlier by (day, key) is served."""
    assert share_out(2, [1, 1, 1]) == [1, 1, 0]


def test_nothing_is_shared_as_nothing():
    """Nil goes to any weights, to none and to no part at all."""
    assert share_out(0, [3, 4]) == [0, 0]
    assert share_out(0, [0, 0]) == [0, 0]
    assert share_out(0, []) == []


@pytest.mark.parametrize("weights", [[], [0], [0, 0]])
@pytest.mark.parametrize("total", [1, -1])
def test_total_with_nothing_to_go_to_is_refused(total, weights):
    """Money cannot vanish for want of a stem to bear it."""
    with pytest.raises(ValueError, match="nothing to be shared over"):
        share_out(total, weights)


def test_negative_weight_is_refused():
    """No part bears less than nothing of a total, even of nil."""
    with pytest.raises(ValueError, match="negative weight"):
        share_out(0, [2, -1])


@given(total=TOTALS, weights=WEIGHTS)
def test_shares_add_up(total, weights):
    """The parts are the whole, each within one unit of its exact share."""
    parts = share_out(total, weights)
    assert sum(parts) == total
    for part, weight in zip(parts, weights, strict=True):
        assert abs(part * sum(weights) - total * weight) < sum(weights)


@given(total=TOTALS, weights=WEIGHTS)
def test_negative_total_parts_as_its_opposite(total, weights):
    """What is taken back is shared exactly as it was given."""
    assert share_out(-total, weights) == [-part for part in share_out(total, weights)]


@given(total=TOTALS, weights=WEIGHTS, factor=st.integers(1, 1000))
def test_scaling_weights_changes_nothing(total, weights, factor):
    """Stems or bundles of so many stems: the shares are the same."""
    assert share_out(total, [weight * factor for weight in weights]) == share_out(total, weights)


@given(total=TOTALS, weights=WEIGHTS)
def test_nil_weight_bears_nothing(total, weights):
    """A part without weight gets no share and moves nobody else's."""
    assert share_out(total, [0, *weights, 0]) == [0, *share_out(total, weights), 0]


def test_amounts_are_shared_each_by_itself():
    """Every kind of cost is parted by the same weights; nil parts are left out."""
    assert share_amounts({"pay": 10, "space": -1, "seed": 0}, [1, 2, 0]) == [
        {"pay": 3},
        {"pay": 7, "space": -1},
        {},
    ]


def test_no_amounts_make_empty_parts():
    """A node that carries nothing parts into nothing, one dict a part."""
    assert share_amounts({}, [1, 1]) == [{}, {}]
    assert share_amounts({}, []) == []


def test_amount_with_no_part_is_refused():
    """An amount without a part to take it is not dropped."""
    with pytest.raises(ValueError, match="5 has nothing"):
        share_amounts({"pay": 5}, [])


@given(amounts=st.dictionaries(st.sampled_from("abc"), TOTALS), weights=WEIGHTS)
def test_amounts_add_up_by_key(amounts, weights):
    """Each key's parts are its amount."""
    parts = share_amounts(amounts, weights)
    for key, amount in amounts.items():
        assert sum(part.get(key, 0) for part in parts) == amount


@pytest.mark.parametrize(
    ("millionths", "minor"),
    [(0, 0), (499_999, 0), (500_000, 1), (1_499_999, 1), (-499_999, 0), (-500_000, -1), (2_500_000, 3)],
)
def test_halves_go_away_from_zero(millionths, minor):
    """Half a minor unit is shown as a whole one, of either sign."""
    assert to_minor(millionths) == minor


def test_printed_reaches_a_given_total():
    """A table whose total was rounded elsewhere still adds up to it."""
    parts = [1_400_000, 1_400_000, 1_400_000]
    assert printed(parts) == [2, 1, 1]
    assert printed(parts, 5) == [2, 2, 1]
    assert printed([-part for part in parts], -5) == [-2, -2, -1]


@pytest.mark.parametrize("total", [2, 6, -4])
def test_printed_refuses_a_total_out_of_reach(total):
    """No rounding makes three parts of 1.3 into that."""
    with pytest.raises(ValueError, match="cannot be printed as"):
        printed([1_300_000, 1_300_000, 1_000_000], total)


def test_printed_of_nothing():
    """No rows print as no rows."""
    assert printed([]) == []


@given(parts=st.lists(TOTALS, max_size=20))
def test_printed_parts_add_up(parts):
    """What is printed adds up to the printed total, each within one unit of the truth."""
    shown = printed(parts)
    assert sum(shown) == to_minor(sum(parts))
    assert all(abs(minor * MILLION - part) < MILLION for minor, part in zip(shown, parts, strict=True))
    if sum(parts):
        assert printed([-part for part in parts]) == [-minor for minor in shown]
