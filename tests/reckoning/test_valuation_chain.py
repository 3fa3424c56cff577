"""Lines valued together where bunches of one were made into another (hand-worked by the rules of the design)."""

from dataclasses import replace
from datetime import date, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ledger.reckoning.valuation import METHODS, Making, StockMovement, value, value_all

DAY, NEXT, LATER = date(2025, 7, 1), date(2025, 7, 2), date(2025, 7, 9)
FLOWERS, WREATHS, TENS, FIVES = 1, 2, 1, 2


def made(key, batch, quantity, cost, on=DAY):
    return StockMovement(on, key, batch, quantity, "made", cost)


def used(key, batch, quantity, on=NEXT):
    return StockMovement(on, key, batch, -quantity, "made_up")


@pytest.mark.parametrize(("method", "wreath", "left"), [("traced", 15, 25), ("fifo", 5, 35)])
def test_a_wreath_takes_its_cost_by_the_method(method, wreath, left):
    """Case 12: 10 old at 1, 10 new at 3; a wreath takes 5 of the new. Either way 40."""
    flowers = [made(1, 1, 10, 10), made(2, 2, 10, 30), used(3, 2, 5)]
    movements = {FLOWERS: flowers, WREATHS: [made(4, 3, 1, 0, on=NEXT)]}
    valued = value_all(method, movements, [Making([3], [(4, 1)])], on=LATER)

    assert (valued[WREATHS].closing_cost, valued[FLOWERS].closing_cost) == (wreath, left)


def test_what_a_run_cost_besides_is_added_and_split_by_its_weights():
    """A run with 6 of work draws bunches at 20: two lines by 3 to 1 carry 5 + 15 and 1 + 5."""
    movements = {1: [made(1, 1, 2, 20), used(2, 1, 2)], 2: [made(3, 2, 1, 5, NEXT)], 3: [made(4, 3, 1, 1, NEXT)]}
    valued = value_all("fifo", movements, [Making([2], [(3, 3), (4, 1)])], on=LATER)

    assert (valued[2].closing_cost, valued[3].closing_cost) == (20, 6)


def test_lines_that_nothing_was_made_of_are_valued_alone():
    """Without a making each line is worth what it is by itself."""
    rows = [made(1, 1, 10, 10), StockMovement(NEXT, 2, 1, -4, "sold")]

    assert value_all("fifo", {1: rows}, [], on=LATER) == {1: value("fifo", rows, on=LATER)}


@pytest.mark.parametrize("method", METHODS)
def test_tens_split_and_banded_again_on_one_day(method):
    """Two tens become four fives, and two of those a ten, all in a day: 40 in all stay 40."""
    tens = [made(1, 1, 4, 40), used(2, 1, 2), made(5, 3, 1, 0, on=NEXT)]
    fives = [made(3, 2, 4, 0, on=NEXT), used(4, 2, 2), StockMovement(NEXT, 6, 2, -1, "sold")]
    back = StockMovement(LATER, 7, 2, 1, "sold", 0, brings_back=6)
    again = StockMovement(LATER, 8, 1, -1, "sold")
    makings = [Making([2], [(3, 1)]), Making([4], [(5, 1)])]
    valued = value_all(method, {TENS: [*tens, again], FIVES: [*fives, back]}, makings, on=LATER, since=LATER)

    assert valued[TENS].closing_cost + valued[FIVES].closing_cost + valued[TENS].sold == 40
    assert valued[FIVES].closing_quantity == 2


def test_a_sale_and_its_return_on_a_tangled_day_meet():
    """On a day run through run by run, what came back the same day never went."""
    tens = [made(1, 1, 4, 40), used(2, 1, 2), made(5, 3, 1, 0, on=NEXT)]
    fives = [
        made(3, 2, 4, 0, on=NEXT), used(4, 2, 2), StockMovement(NEXT, 6, 2, -1, "sold"),
        StockMovement(NEXT, 7, 2, 1, "sold", 0, brings_back=6),
    ]
    makings = [Making([2], [(3, 1)]), Making([4], [(5, 1)])]
    valued = value_all("fifo", {TENS: tens, FIVES: fives}, makings, on=LATER)

    assert (valued[TENS].closing_cost, valued[FIVES].closing_cost, valued[FIVES].sold) == (30, 10, 0)


@st.composite
def makings(draw):
    """A few lines, each made of the ones before on some day, some sold."""
    movements, made_of, key = {0: [made(1, 1, 20, draw(st.integers(0, 10**6)))]}, [], 10
    for line in range(1, draw(st.integers(2, 4))):
        on = DAY + timedelta(draw(st.integers(0, 3)) + 4 * line)
        key += 10
        quantity = draw(st.integers(1, 3))
        source = draw(st.integers(0, line - 1))
        batch = source + 1
        movements[source].append(used(key, batch, quantity, on))
        movements[line] = [made(key + 1, line + 1, 20, draw(st.integers(0, 1000)), on)]
        movements[line].append(StockMovement(on, key + 2, line + 1, -draw(st.integers(1, 5)), "sold"))
        made_of.append(Making([key], [(key + 1, 1)]))
    return movements, made_of


@given(makings(), st.sampled_from(METHODS))
@settings(max_examples=150, deadline=None)
def test_nothing_is_lost_from_line_to_line(drawn, method):
    """What came in from outside is sold or there, by every method; what was drawn is what was made of it."""
    movements, made_of = drawn
    valued = value_all(method, movements, made_of, on=date(2025, 9, 1))
    put_in = sum(row.cost for rows in movements.values() for row in rows)

    assert sum(one.sold + one.closing_cost for one in valued.values()) == put_in
    assert sum(one.made for one in valued.values()) == put_in + sum(one.made_up for one in valued.values())


@given(makings())
@settings(max_examples=50, deadline=None)
def test_order_of_entry_changes_no_value(drawn):
    """The same movements the other way round are worth the same."""
    movements, made_of = drawn
    turned = {line: list(reversed([replace(row) for row in rows])) for line, rows in movements.items()}
    on = date(2025, 9, 1)

    assert value_all("fifo", movements, made_of, on=on) == value_all("fifo", turned, made_of, on=on)
