"""Net realisable value and write-downs."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.reckoning.realisable import lower_of, net_realisable, reversal, write_down

MONEY = st.integers(0, 10**12)
ITEMS = st.lists(st.tuples(MONEY, st.none() | MONEY), max_size=20)


def test_what_is_still_to_be_paid_comes_off():
    """10.00 less 1.00 to finish, 2 % of 12.00 with tax and 0.50 selling is 8.26."""
    assert net_realisable(1000, to_finish=100, fee_bp=200, tax_bp=2000, per_unit_selling=50) == 826


def test_price_alone_is_what_it_fetches():
    """With nothing to pay out a price is its own value."""
    assert net_realisable(1_000_000) == 1_000_000
    assert net_realisable(1_000_000, fee_bp=200) == 980_000


def test_fee_goes_half_up():
    """Half a unit of fee is a whole one: 1 % of 50."""
    assert net_realisable(50, fee_bp=100) == 49


def test_what_costs_more_to_sell_is_worth_nil():
    """Stock is never worth less than nothing."""
    assert net_realisable(100, per_unit_selling=101) == 0


@pytest.mark.parametrize("argument", ["to_finish", "fee_bp", "tax_bp", "per_unit_selling"])
def test_negative_costs_are_refused(argument):
    """What is paid out cannot be negative."""
    with pytest.raises(ValueError, match="cannot be negative"):
        net_realisable(100, **{argument: -1})


def test_negative_price_is_refused():
    """Nor can a price."""
    with pytest.raises(ValueError, match="cannot be negative"):
        net_realisable(-1)


def test_lower_of_cost_and_realisable():
    """The lower counts; where nobody can say, cost does."""
    assert (lower_of(5, 3), lower_of(3, 5), lower_of(5, None), lower_of(5, 0)) == (3, 3, 5, 0)


def test_hand_worked_14_left_over_fetches_less():
    """The 25 left would fetch 20: write-down 5, value 20."""
    assert write_down([(25, 20)]) == 5
    assert lower_of(25, 20) == 20


def test_hand_worked_15_per_batch_or_by_line():
    """Batches of 50 and 10 that fetch 30 each are worth 40 traced, 60 as one line."""
    assert 60 - write_down([(50, 30), (10, 30)]) == 40
    assert 60 - write_down([(60, 60)]) == 60


def test_nothing_held_is_nothing_written_down():
    """No items, no write-down."""
    assert write_down([]) == 0


@given(items=ITEMS)
def test_write_down_leaves_the_lower_of_each(items):
    """Cost less write-down is the sum of the lower of each, and never negative."""
    assert sum(cost for cost, _ in items) - write_down(items) == sum(lower_of(*item) for item in items)
    assert write_down(items) >= 0


@given(items=st.lists(st.tuples(MONEY, MONEY), min_size=1, max_size=20))
def test_item_by_item_never_writes_down_less_than_the_whole(items):
    """Gains in one item hide losses only when all are lumped together."""
    whole = (sum(cost for cost, _ in items), sum(fetches for _, fetches in items))
    assert write_down(items) >= write_down([whole])


@pytest.mark.parametrize(("realisable", "back"), [(105, 25), (100, 25), (80, 5), (75, 0), (60, 0)])
def test_reversal_stops_at_cost(realisable, back):
    """Of cost 100 carried at 75 at most 25 comes back, and nothing while it fetches no more."""
    assert reversal(100, carried=75, realisable=realisable) == back
