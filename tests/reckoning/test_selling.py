"""What selling by a way costs."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.reckoning.selling import SellingCosts, fee_on_takings, hours_cost


def test_a_card_fee_counts_on_the_share_that_is_paid_by_card():
    """1.75 % on 60 % of takings is 1.05 % of all."""
    assert fee_on_takings(175, card_share_bp=6000) == 105
    assert fee_on_takings(175) == 175


def test_all_that_goes_off_takings_adds_up():
    """Card 1.05 %, pitch 10 %, bad debts 0.5 %, 30 days at 8 % a year (0.6575, so 0.66): 12.21 %."""
    assert fee_on_takings(175, card_share_bp=6000, pitch_bp=1000, bad_debt_bp=50, interest_bp=800, days=30) == 1221


def test_a_way_without_costs_costs_nothing():
    """Neither fees nor a fixed share."""
    assert SellingCosts().all(500) == 0


def test_a_day_and_a_parcel_are_shared_by_sales_value():
    """8.50 of 340.00 usual takings bears 2.55 of 102.00; 8.50 of 25.00 in a parcel bears 1.70 of 5.00."""
    costs = SellingCosts(fee_bp=200, shared=((10_200, 34_000), (500, 2_500)))
    assert (costs.fixed(850), costs.fees(850), costs.all(850)) == (255 + 170, 17, 442)


def test_a_cost_that_is_nil_needs_no_takings():
    """A gate has neither day nor parcel."""
    assert SellingCosts(shared=((0, 0), (500, 2_500))).fixed(500) == 100


def test_a_fixed_cost_without_takings_to_share_it_on_is_refused():
    """Nothing to share it on."""
    with pytest.raises(ValueError, match="usual takings"):
        SellingCosts(shared=((500, 0),))


def test_hours_by_the_minute():
    """5 hours 45 minutes at 12.00 an hour are 69.00; half a minute up."""
    assert hours_cost(345, 1200) == 6900
    assert hours_cost(1, 30) == 1


@given(st.integers(0, 10**9), st.integers(1, 10**9), st.integers(0, 10**6))
def test_what_usually_is_taken_bears_the_whole_cost(fixed, usual, rate):
    """A day that takes what it usually does bears its fixed cost to the unit, whatever the fee."""
    assert SellingCosts(rate % 10_000, ((fixed, usual),)).fixed(usual) == fixed


def test_every_price_gives_the_same_share():
    """2 % of fees, a tenth for the day and 1 / 7 for the parcel: 26.29 %, up to the next hundredth; nothing where nothing is."""
    costs = SellingCosts(200, ((3000, 30000), (0, 0), (100, 700)))

    assert costs.share_bp == 200 + 1000 + 1429
    assert costs.all(10_000_000) <= 10_000_000 * costs.share_bp // 10_000
    assert SellingCosts().share_bp == 0
