"""Prices from a wanted margin."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.reckoning import price
from ledger.reckoning.price import fixed_per_unit, selling_price
from ledger.reckoning.sharing import MILLION

SHELF, FIXED = 250 * MILLION, 50 * MILLION


def proposal(shelf_cost=SHELF, **changes):
    """Hand-worked case 17, with changes."""
    terms = {"fixed": FIXED, "margin_bp": 3000, "fee_bp": 200, "tax_bp": 2000, "ending": 50}
    return selling_price(shelf_cost, **(terms | changes))


def test_hand_worked_17_price():
    """3.00 / (1 - 0.30 - 0.024) is 4.4379 net, 5.3254 with tax, 5.50 at the ending."""
    found = proposal()
    assert found.exact_net == 443_786_982
    assert found.exact_gross == 532_544_379
    assert (found.gross, found.tax, found.net) == (550, 92, 458)


def test_hand_worked_17_margin_that_really_results():
    """From 5.50: 4.58 net less 3.00 and the fee of 0.11 is 1.47, 32.10 % of net."""
    found = proposal()
    assert (found.fees, found.full_cost) == (11 * MILLION, 311 * MILLION)
    assert (found.margin_bp, found.markup_bp) == (3210, 4727)


def test_break_even_covers_the_full_cost():
    """3.00 / (1 - 0.024) x 1.2 is 3.6885: at 3.69 nothing is earned or lost."""
    assert proposal().break_even == 369


@pytest.mark.parametrize(("ending", "gross"), [(None, 533), (50, 550), (33, 533), (32, 632), (0, 600), (99, 599)])
def test_price_goes_up_to_the_ending(ending, gross):
    """Never below the price that leaves the margin; without an ending to the next minor unit."""
    assert proposal(ending=ending).gross == gross


@pytest.mark.parametrize(("ending", "gross"), [(50, 1250), (None, 1151)])
def test_rounded_up_tax_never_takes_the_price_below_the_margin(ending, gross):
    """8.1455 / 0.85 x 1.2 is 11.4995; of 11.50 the tax is 1.92, and 9.58 net leaves 14.97 %: the next leaves 15 %."""
    found = proposal(814_550_000, fixed=0, margin_bp=1500, fee_bp=0, ending=ending)
    assert (found.exact_gross, found.gross) == (1_149_952_941, gross)
    assert found.margin_bp >= 1500


def test_price_of_which_nothing_is_left_net_is_passed_over():
    """With tax at 300 % the 0.01 holds 0.0075 tax and the 0.02 0.015, both all of it in whole ones; 0.03 holds 0.02."""
    found = proposal(1, fixed=0, margin_bp=1, fee_bp=0, tax_bp=30_000, ending=None)
    assert (found.gross, found.tax, found.net) == (3, 2, 1)


def test_currency_without_minor_unit():
    """Where 1 is the smallest there is, prices can end on a round hundred by per_major."""
    assert proposal(ending=0, per_major=10).gross == 540


def test_price_that_comes_out_even_is_kept():
    """3.00 without margin, fee or tax is 3.00, with nothing on top."""
    found = proposal(margin_bp=0, fee_bp=0, tax_bp=0, ending=0)
    assert (found.gross, found.net, found.tax, found.margin_bp, found.markup_bp) == (300, 300, 0, 0, 0)


@pytest.mark.parametrize(("margin_bp", "fee_bp"), [(10_000, 0), (9_760, 200), (0, 8_334)])
def test_margin_no_price_can_leave_is_refused(margin_bp, fee_bp):
    """Where margin and fees take the whole price there is none."""
    with pytest.raises(ValueError, match="no price leaves that margin"):
        proposal(margin_bp=margin_bp, fee_bp=fee_bp)


@pytest.mark.parametrize("argument", ["fixed", "margin_bp", "fee_bp", "tax_bp", "shelf_cost"])
def test_negative_terms_are_refused(argument):
    """Costs and shares are never below nil."""
    with pytest.raises(ValueError, match="cannot be negative"):
        proposal(**{argument: -1})


def test_smallest_divisor_still_has_a_price():
    """A hundred-millionth of the price left over is enough, however dear that makes it."""
    assert proposal(1, fixed=0, margin_bp=9998, fee_bp=1, tax_bp=9999).exact_net == 10**8


def test_fixed_cost_as_large_as_the_shelf_cost():
    """The two are added up, however they compare."""
    assert proposal(50 * MILLION, margin_bp=0, fee_bp=0, tax_bp=0, ending=None).gross == 100


def test_nothing_to_price_is_refused():
    """What costs nothing has no price from a margin."""
    with pytest.raises(ValueError, match="needs a cost"):
        proposal(0, fixed=0)


@pytest.mark.parametrize("ending", [-1, 100])
def test_ending_no_price_has_is_refused(ending):
    """An ending is within one major unit."""
    with pytest.raises(ValueError, match=f"no price ends in {ending} of 100"):
        proposal(ending=ending)


@given(
    shelf=st.integers(MILLION, 10**11),
    margin_bp=st.integers(0, 6000),
    fee_bp=st.integers(0, 1000),
    tax_bp=st.integers(0, 2500),
    ending=st.none() | st.integers(0, 99),
)
def test_price_is_the_lowest_that_leaves_the_margin(shelf, margin_bp, fee_bp, tax_bp, ending):
    """The price reaches the exact one by less than a step, and breaks even below itself."""
    found = selling_price(shelf, fixed=0, margin_bp=margin_bp, fee_bp=fee_bp, tax_bp=tax_bp, ending=ending)
    step = 1 if ending is None else 100
    over = found.gross * MILLION - found.exact_gross
    assert -1 <= over < (step + 1) * MILLION
    assert found.gross % step == (ending or 0)
    assert found.break_even <= found.gross == found.net + found.tax


def test_fixed_cost_of_a_day_by_sales_value():
    """A day of 30.00 that usually takes 300.00 puts 0.50 on a bunch of 5.00."""
    assert fixed_per_unit(500, fixed_day=3000, usual_takings=30_000) == 50


def test_fixed_cost_needs_usual_takings():
    """Without takings there is nothing to share by."""
    with pytest.raises(ValueError, match="proportion of 0"):
        fixed_per_unit(500, fixed_day=3000, usual_takings=0)


def test_margin_and_markup_of_a_loss_are_negative():
    """Sold below cost: 100 for 80 is -25 % margin, -20 % markup."""
    assert (price.margin_of(100, 80), price.markup_of(100, 80)) == (-2500, -2000)


@given(markup_bp=st.integers(0, 100_000))
def test_markup_and_margin_turn_into_each_other(markup_bp):
    """A price by markup is the price by the margin that makes, but for a basis point."""
    margin_bp = price.margin_of_markup(markup_bp)
    at_markup, at_margin = price.price_at_markup(10**9, markup_bp), price.price_at_margin(10**9, margin_bp)
    assert abs(price.margin_of(10**9, at_markup) - margin_bp) <= 1
    assert abs(price.markup_of(10**9, at_margin) - price.markup_of_margin(margin_bp)) <= 1


def test_no_margin_is_the_whole_price():
    """A margin of 100 % has no markup and no price."""
    with pytest.raises(ValueError, match="proportion of 0"):
        price.markup_of_margin(10_000)
    with pytest.raises(ValueError, match="proportion of 0"):
        price.price_at_margin(100, 10_000)
