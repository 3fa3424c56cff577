"""Tax on sales, credits and purchases."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.reckoning.tax import (
    credit_part_of_net,
    credit_tax,
    net_and_tax,
    purchase_cost,
    tax_on,
    tax_within,
)

RATES = st.integers(0, 3000)


@pytest.mark.parametrize(
    ("net", "rate_bp", "tax"),
    [(1026, 2000, 205), (1025, 1000, 103), (-1025, 1000, -103), (1000, 0, 0), (0, 2000, 0), (2, 2000, 0), (3, 2000, 1)],
)
def test_tax_goes_half_up(net, rate_bp, tax):
    """Halves go up, and a credit's tax is the mirror image."""
    assert tax_on(net, rate_bp) == tax


def test_tax_within_a_price():
    """5.50 with 20 % holds 0.92; without a rate it holds none."""
    assert (tax_within(550, 2000), tax_within(550, 0), tax_within(-550, 2000)) == (92, 0, -92)


@pytest.mark.parametrize("tax", [tax_on, tax_within])
def test_negative_rate_is_refused(tax):
    """There is no tax below nil."""
    with pytest.raises(ValueError, match="cannot be -1"):
        tax(100, -1)


def test_hand_worked_19_two_half_credits():
    """Tax of 2.05 on 10.26 is credited as 1.03 and 1.02."""
    assert tax_on(1026, 2000) == 205
    first = credit_tax(0, 0, 513, 2000)
    assert (first, credit_tax(513, first, 513, 2000)) == (103, 102)


@given(credits=st.lists(st.integers(0, 10**6), min_size=1, max_size=10), rate_bp=RATES)
def test_credits_give_back_the_tax_of_the_whole(credits, rate_bp):
    """In whatever parts an invoice is credited, its tax comes back exactly."""
    net, tax = 0, 0
    for credit in credits:
        tax += credit_tax(net, tax, credit, rate_bp)
        net += credit
    assert tax == tax_on(net, rate_bp)


@given(net=st.integers(0, 10**9), rate_bp=RATES)
def test_tax_within_undoes_tax_on(net, rate_bp):
    """Net plus tax holds that tax, and net is found again."""
    gross = net + tax_on(net, rate_bp)
    assert gross - tax_within(gross, rate_bp) == net


@pytest.mark.parametrize(("recoverable", "cost"), [(False, 12_000), (True, 10_000)])
def test_hand_worked_18_tax_that_comes_back_is_no_cost(recoverable, cost):
    """A bill of 120.00 with 20.00 tax costs 100.00 only where tax comes back."""
    assert purchase_cost(10_000, 2_000, recoverable=recoverable) == cost


@given(amounts=st.lists(st.integers(0, 10**6), min_size=1, max_size=10), rate_bp=RATES, with_tax=st.booleans())
def test_net_and_tax_of_the_lines_are_those_of_the_sum(amounts, rate_bp, with_tax):
    """Whatever the prices keep, line for line and together; no line is further than one minor unit from its own tax."""
    shares = net_and_tax(amounts, rate_bp, with_tax=with_tax)
    tax_of = tax_within if with_tax else tax_on
    assert sum(tax for _net, tax in shares) == tax_of(sum(amounts), rate_bp)
    assert [net + (tax if with_tax else 0) for net, tax in shares] == amounts
    assert all(abs(tax - tax_of(amount, rate_bp)) <= 1 for amount, (_net, tax) in zip(amounts, shares, strict=True))


def test_net_and_tax_of_three_alike():
    """1.50 hold 0.25, 0.09 + 0.08 + 0.08; without a rate there is none."""
    assert net_and_tax([50, 50, 50], 2000, with_tax=True) == [(41, 9), (42, 8), (42, 8)]
    assert net_and_tax([50, 0], 0, with_tax=False) == [(50, 0), (0, 0)]


@given(net=st.integers(0, 10**6), parts=st.lists(st.integers(1, 50), min_size=1, max_size=8))
def test_pieces_credited_in_any_parts_take_back_all_of_a_lines_net(net, parts):
    """And none takes back less than nothing."""
    before, given_back = 0, []
    for now in parts:
        given_back.append(credit_part_of_net(net, pieces=sum(parts), before=before, now=now))
        before += now
    assert sum(given_back) == net and min(given_back) >= 0


@given(
    price=st.integers(0, 10**5), parts=st.lists(st.integers(1, 50), min_size=1, max_size=8), rate_bp=RATES,
    other=st.integers(0, 10**6),
)
def test_no_piece_credited_has_a_net_above_its_price(price, parts, rate_bp, other):
    """So the tax of a credit, what its prices hold beyond its net, is never below nothing."""
    (net, _tax), _other = net_and_tax([sum(parts) * price, other], rate_bp, with_tax=True)
    before = 0
    for now in parts:
        assert credit_part_of_net(net, pieces=sum(parts), before=before, now=now) <= now * price
        before += now
