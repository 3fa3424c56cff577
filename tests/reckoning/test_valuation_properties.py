"""What holds for any season of movements, by every method."""

from dataclasses import replace
from datetime import date, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ledger.reckoning.valuation import ISSUES, METHODS, RECEIPTS, StockMovement, value

FIRST = date(2024, 1, 1)
LAST = FIRST + timedelta(days=40)


@st.composite
def seasons(draw):
    """Movements that can have happened: no batch is ever short, no return too large."""
    movements, stock, out = [], {1: 0, 2: 0, 3: 0}, {}
    for key in range(1, draw(st.integers(2, 25))):
        on = FIRST + timedelta(days=key // 2)
        batch = draw(st.sampled_from([1, 2, 3]))
        returnable = [k for k, (b, left) in out.items() if b == batch and left]
        what = draw(st.sampled_from(["in", "out", "back"]))
        if what == "back" and returnable:
            of = draw(st.sampled_from(returnable))
            quantity = draw(st.integers(1, out[of][1]))
            out[of] = (batch, out[of][1] - quantity)
            movements.append(StockMovement(on, key, batch, quantity, "sold", brings_back=of))
        elif what == "out" and stock[batch]:
            quantity = -draw(st.integers(1, stock[batch]))
            out[key] = (batch, -quantity)
            movements.append(StockMovement(on, key, batch, quantity, draw(st.sampled_from(ISSUES))))
        else:
            quantity, cost = draw(st.integers(1, 20)), draw(st.integers(0, 10**9))
            movements.append(StockMovement(on, key, batch, quantity, draw(st.sampled_from(RECEIPTS)), cost))
        stock[batch] += quantity
    return movements


def gone(worth):
    """All that went out, net of what came back."""
    return worth.sold + worth.made_up + worth.drawn + worth.written_off


@pytest.mark.parametrize("method", METHODS)
@given(movements=seasons(), since=st.integers(0, 15), on=st.integers(15, 40))
@settings(deadline=None, max_examples=40)
def test_nothing_is_lost_or_made(method, movements, since, on):
    """Opening and receipts are what went out and what is left, exactly, for any stretch."""
    since, on = FIRST + timedelta(days=since), FIRST + timedelta(days=on)
    worth = value(method, movements, since=since, on=on, period_ends=[FIRST + timedelta(days=7)])
    assert worth.opening + worth.made + worth.bought + worth.found == gone(worth) + worth.closing_cost
    assert sum(cost for _, cost in worth.left.values()) == worth.closing_cost >= 0
    assert sum(quantity for quantity, _ in worth.left.values()) == worth.closing_quantity


@pytest.mark.parametrize("method", METHODS)
@given(movements=seasons(), since=st.integers(1, 15))
@settings(deadline=None, max_examples=40)
def test_opening_is_the_closing_of_the_eve(method, movements, since):
    """One year's closing cost is the next year's opening, to the millionth."""
    since = FIRST + timedelta(days=since)
    eve = since - timedelta(days=1)
    assert value(method, movements, since=since, on=LAST).opening == value(method, movements, on=eve).closing_cost


@pytest.mark.parametrize("method", METHODS)
@given(season=seasons(), data=st.data())
@settings(deadline=None, max_examples=40)
def test_order_of_entry_changes_nothing(method, season, data):
    """Whatever order the rows come in, the answer is the same."""
    shuffled = data.draw(st.permutations(season))
    assert value(method, shuffled, on=LAST) == value(method, season, on=LAST)


@pytest.mark.parametrize("method", METHODS)
@given(movements=seasons())
@settings(deadline=None, max_examples=40)
def test_taken_is_all_that_went_out(method, movements):
    """The costs of the single movements add up to the totals, none below nil."""
    worth = value(method, movements, on=LAST)
    assert sum(worth.taken.values()) == gone(worth)
    assert all(cost >= 0 for cost in worth.taken.values())


@pytest.mark.parametrize("method", METHODS)
@given(movements=seasons(), kind=st.sampled_from(ISSUES))
@settings(deadline=None, max_examples=40)
def test_kind_of_issue_never_changes_its_cost(method, movements, kind):
    """A wreath's bunches cost what the same bunches sold would have cost."""
    sold = [replace(m, kind=kind) if m.quantity < 0 else m for m in movements]
    one_kind = value(method, sold, on=LAST)
    assert one_kind.taken == value(method, movements, on=LAST).taken
    assert getattr(one_kind, kind) == gone(one_kind)


@pytest.mark.parametrize("method", METHODS)
@given(movements=seasons())
@settings(deadline=None, max_examples=40)
def test_full_return_of_the_last_issue_undoes_it(method, movements):
    """Everything taken on a last day and brought back the day after leaves stock as it was."""
    ends = [LAST - timedelta(days=1), LAST]
    before = value(method, movements, on=LAST, period_ends=ends)
    out = [StockMovement(LAST, 100 + batch, batch, -quantity, "sold") for batch, (quantity, _) in before.left.items()]
    after = LAST + timedelta(days=1)
    again = [replace(m, on=after, key=m.key + 100, quantity=-m.quantity, brings_back=m.key) for m in out]
    worth = value(method, [*movements, *out, *again], on=after, since=after, period_ends=ends)
    assert (worth.opening, worth.closing_cost) == (0, before.closing_cost)
    assert worth.closing_quantity == before.closing_quantity


@given(movements=seasons())
@settings(deadline=None, max_examples=40)
def test_one_batch_alone_is_traced_as_it_is_averaged(movements):
    """With one batch in one pool, traced and moving average are the same."""
    one = [m for m in movements if m.batch == 1]
    traced, moving = (value(method, one, on=LAST) for method in ("traced", "moving-average"))
    assert traced == moving
