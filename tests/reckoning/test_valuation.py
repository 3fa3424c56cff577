"""Stock of one bunch line, by four methods."""

import random
from dataclasses import replace
from datetime import date

import pytest

from ledger.reckoning.valuation import METHODS, StockMovement, value

JULY = [date(2024, 7, day) for day in range(1, 32)]


def came(day, quantity, cost, *, key, batch=1, kind="made"):
    """A receipt on a day of July."""
    return StockMovement(JULY[day - 1], key, batch, quantity, kind, cost)


def went(day, quantity, *, key, batch=1, kind="sold"):
    """A movement out on a day of July."""
    return StockMovement(JULY[day - 1], key, batch, -quantity, kind)


def back(day, quantity, *, key, of, batch=1):
    """Bunches coming back from the movement `of` on a day of July."""
    return StockMovement(JULY[day - 1], key, batch, quantity, "sold", brings_back=of)


def closing(method, movements, **options):
    """What is left at the end of July."""
    return value(method, movements, on=JULY[-1], **options)


def test_newest_first_is_not_offered():
    """Last in, first out does not exist."""
    assert METHODS == ("traced", "fifo", "moving-average", "periodic-average")
    with pytest.raises(ValueError, match="lifo is not one of traced, fifo"):
        value("lifo", [], on=JULY[0])


@pytest.mark.parametrize("method", METHODS)
def test_no_movement_is_no_stock(method):
    """An empty line is worth nothing and stands at nothing."""
    nothing = value(method, [], on=JULY[0], since=JULY[0])
    assert (nothing.opening, nothing.closing_cost, nothing.closing_quantity) == (0, 0, 0)
    assert (nothing.taken, nothing.left) == ({}, {})
    assert (nothing.made, nothing.bought, nothing.found) == (0, 0, 0)
    assert (nothing.sold, nothing.made_up, nothing.drawn, nothing.written_off) == (0, 0, 0, 0)


@pytest.mark.parametrize("method", METHODS)
def test_hand_worked_11_return_brings_back_what_it_took(method):
    """100 on 3 bunches: 33, 34, the 33 back, then 33 and 33 are out: 100 in all."""
    movements = [
        came(1, 3, 100, key=1),
        went(2, 1, key=2),
        went(3, 1, key=3),
        back(4, 1, key=4, of=2),
        went(5, 1, key=5),
        went(6, 1, key=6),
    ]
    ends = JULY[:6]
    first = value(method, movements, on=JULY[2], period_ends=ends)
    assert first.taken == {2: 33, 3: 34}
    last = value(method, movements, on=JULY[5], period_ends=ends)
    assert last.taken == {2: 0, 3: 34, 5: 33, 6: 33}
    assert (last.sold, last.closing_cost, last.closing_quantity) == (100, 0, 0)


@pytest.mark.parametrize(("method", "wreath", "left"), [("traced", 15, 25), ("fifo", 5, 35)])
def test_hand_worked_12_wreath_of_the_new_batch(method, wreath, left):
    """Five of the newer batch cost 15 traced and 5 first in first out; either way 40."""
    movements = [
        came(1, 10, 10, key=1, batch=1),
        came(2, 10, 30, key=2, batch=2),
        went(3, 5, key=3, batch=2, kind="made_up"),
    ]
    worth = closing(method, movements)
    assert (worth.made_up, worth.closing_cost) == (wreath, left)
    assert worth.made == 40


@pytest.mark.parametrize(("method", "sold", "left"), [("moving-average", 15, 15), ("fifo", 10, 20)])
def test_hand_worked_13_what_comes_in_comes_first(method, sold, left):
    """A day's receipts come before its sales, whichever was entered first."""
    movements = [
        went(2, 10, key=1, batch=1),
        came(2, 10, 20, key=2, batch=2),
        came(1, 10, 10, key=3, batch=1),
    ]
    worth = closing(method, movements, since=JULY[1])
    assert (worth.opening, worth.made, worth.sold, worth.closing_cost) == (10, 20, sold, left)


def test_hand_worked_14_four_ways_out():
    """60 sold, 10 to moth, 5 drawn and 25 left make up the 100 there were."""
    movements = [
        came(1, 100, 100, key=1),
        went(2, 60, key=2),
        went(3, 10, key=3, kind="written_off"),
        went(4, 5, key=4, kind="drawn"),
    ]
    for method in METHODS:
        worth = closing(method, movements)
        assert (worth.sold, worth.written_off, worth.drawn, worth.closing_cost) == (60, 10, 5, 25)


def test_bought_and_found_stand_apart():
    """What was bought in or found keeps its own total beside what was made."""
    movements = [
        came(1, 4, 40, key=1),
        came(1, 2, 30, key=2, kind="bought"),
        came(1, 1, 0, key=3, kind="found"),
    ]
    worth = closing("moving-average", movements)
    assert (worth.made, worth.bought, worth.found, worth.closing_cost) == (40, 30, 0, 70)


def test_day_is_one_sum_shared_by_bunches():
    """One bunch each to three buyers of a day is 34, 33 and 33, by key."""
    movements = [came(1, 4, 133, key=1), *(went(2, 1, key=key) for key in (7, 5, 6))]
    assert closing("traced", movements).taken == {5: 34, 6: 33, 7: 33}


def test_traced_shares_each_batch_by_itself():
    """Two batches going out on one day keep their own costs."""
    movements = [
        came(1, 2, 20, key=1, batch=1),
        came(1, 2, 60, key=2, batch=2),
        went(2, 1, key=3, batch=2),
        went(2, 1, key=4, batch=1),
        went(2, 1, key=5, batch=2),
    ]
    worth = closing("traced", movements)
    assert worth.taken == {3: 30, 4: 10, 5: 30}
    assert worth.left == {1: (1, 10)}


@pytest.mark.parametrize("method", ["fifo", "moving-average", "periodic-average"])
def test_line_cost_is_shared_over_the_batches_left(method):
    """Where batches are not traced, what is left of each bears the line's cost by bunches."""
    movements = [
        came(1, 10, 100, key=1, batch=1),
        came(1, 10, 100, key=2, batch=2),
        went(2, 5, key=3, batch=2),
    ]
    assert closing(method, movements).left == {1: (10, 100), 2: (5, 50)}


def test_fifo_day_takes_across_layers_and_shares_evenly():
    """Two buyers of one day bear the same for the same bunches, old and new layer mixed."""
    movements = [came(1, 1, 0, key=1), came(2, 1, 10, key=2), went(3, 1, key=3), went(3, 1, key=4)]
    assert closing("fifo", movements).taken == {3: 5, 4: 5}


def test_fifo_return_rejoins_its_layers_at_the_front():
    """Ten at 1 and five at 3 come back as that, and go out again before newer bunches."""
    movements = [
        came(1, 10, 10, key=1),
        came(2, 10, 30, key=2),
        went(3, 15, key=3),
        came(4, 10, 90, key=4),
        back(5, 15, key=5, of=3),
        went(6, 10, key=6),
        went(7, 10, key=7),
    ]
    assert closing("fifo", movements).taken == {3: 0, 6: 10, 7: 30}


def test_fifo_part_return_is_pro_rata():
    """Three of fifteen come back with a fifth of what the fifteen took."""
    movements = [
        came(1, 10, 100, key=1),
        came(2, 5, 200, key=2),
        went(3, 15, key=3),
        back(4, 3, key=4, of=3),
    ]
    worth = closing("fifo", movements)
    assert (worth.sold, worth.closing_cost, worth.closing_quantity) == (240, 60, 3)


def test_fifo_return_of_a_costless_share_still_carries_its_part():
    """A bunch from a layer that cost nothing comes back at what its movement bore."""
    movements = [
        came(1, 1, 0, key=1),
        came(2, 1, 10, key=2),
        went(3, 1, key=3),
        went(3, 1, key=4),
        back(4, 1, key=5, of=3),
    ]
    worth = closing("fifo", movements)
    assert (worth.taken, worth.closing_cost) == ({3: 0, 4: 5}, 5)


@pytest.mark.parametrize("method", METHODS)
def test_same_day_return_never_went_out(method):
    """What comes back on its own day lowers that day's sum before it is shared."""
    movements = [
        came(1, 3, 100, key=1),
        went(2, 2, key=2),
        back(2, 1, key=3, of=2),
        went(2, 1, key=4),
        back(2, 1, key=5, of=4),
    ]
    worth = closing(method, movements)
    assert (worth.taken, worth.closing_cost, worth.closing_quantity) == ({2: 33, 4: 0}, 67, 2)


@pytest.mark.parametrize("method", METHODS)
def test_return_lowers_the_kind_of_its_movement(method):
    """Display goods that come back lower what was drawn, in the year they come back."""
    movements = [came(1, 10, 100, key=1), went(2, 4, key=2, kind="drawn"), back(9, 4, key=3, of=2)]
    worth = closing(method, movements, since=JULY[5])
    assert (worth.opening, worth.drawn, worth.sold, worth.closing_cost) == (60, -40, 0, 100)


def test_return_after_the_day_asked_is_not_yet_back():
    """As of an earlier day a later return has not happened."""
    movements = [came(1, 2, 10, key=1), went(2, 1, key=2), back(5, 1, key=3, of=2)]
    assert value("fifo", movements, on=JULY[3]).taken == {2: 5}
    assert value("fifo", movements, on=JULY[4]).taken == {2: 0}


def test_opening_is_the_evening_before():
    """A movement of the first day is a flow, one of its eve is in the opening."""
    movements = [came(4, 1, 10, key=1), came(5, 1, 20, key=2)]
    worth = closing("traced", movements, since=JULY[4])
    assert (worth.opening, worth.made, worth.closing_cost) == (10, 20, 30)


def test_periodic_average_is_one_average_a_period():
    """Sales of a period bear the period's average, receipts of its last day included."""
    movements = [came(1, 10, 100, key=1), went(5, 5, key=2), came(10, 10, 300, key=3), went(20, 5, key=4)]
    assert closing("periodic-average", movements).taken == {2: 100, 4: 100}
    assert closing("periodic-average", movements, period_ends=[JULY[9]]).taken == {2: 100, 4: 100}
    assert closing("periodic-average", movements, period_ends=[JULY[8]]).taken == {2: 50, 4: 117}
    assert closing("moving-average", movements).taken == {2: 50, 4: 117}


def test_periodic_average_parts_at_the_eve_of_since():
    """The opening keeps its own average whatever comes in afterwards."""
    movements = [came(1, 10, 100, key=1), went(5, 5, key=2), came(10, 5, 300, key=3), went(20, 5, key=4)]
    worth = closing("periodic-average", movements, since=JULY[9], period_ends=[date(2024, 12, 31)])
    assert (worth.opening, worth.taken) == (50, {2: 50, 4: 175})


def test_periodic_average_last_takes_all():
    """What a period leaves nothing of gives up its cost exactly."""
    movements = [came(1, 3, 100, key=1), went(2, 1, key=2), went(3, 2, key=3)]
    worth = closing("periodic-average", movements)
    assert (worth.taken, worth.closing_cost) == ({2: 33, 3: 67}, 0)


@pytest.mark.parametrize(
    ("movement", "reason"),
    [
        (came(2, 0, 0, key=9), "moves nothing"),
        (came(2, 1, 0, key=9, kind="sold"), "cannot be sold"),
        (went(2, 1, key=9, kind="made"), "cannot be made"),
        (replace(went(2, 1, key=9), brings_back=2), "cannot be sold"),
        (came(2, 1, -5, key=9), "cannot bring a cost of -5"),
        (replace(went(2, 1, key=9), cost=5), "cannot bring a cost of 5"),
        (replace(back(2, 1, key=9, of=2), cost=5), "cannot bring a cost of 5"),
        (went(3, 1, key=2), "two movements out have the key 2"),
        (back(2, 1, key=9, of=77), "brings back what had not gone out"),
        (back(1, 1, key=9, of=2), "brings back what had not gone out"),
        (back(2, 1, key=9, of=2, batch=3), "another batch"),
        (back(2, 3, key=9, of=2), "more than went out"),
        (went(2, 1, key=9), "batch 1: 1 more go out on 2024-07-02 than there are"),
        (went(1, 4, key=9), "batch 1: 2 more go out on 2024-07-01 than there are"),
        (went(2, 1, key=9, batch=2), "batch 2: 1 more go out on 2024-07-02 than there are"),
    ],
)
@pytest.mark.parametrize("method", METHODS)
def test_movements_that_cannot_be_are_refused(method, movement, reason):
    """A fault is named, whatever the method."""
    movements = [came(1, 2, 10, key=1), came(3, 2, 10, key=8), went(2, 2, key=2)]
    with pytest.raises(ValueError, match=reason):
        closing(method, [*movements, movement])


def test_two_returns_together_cannot_bring_back_too_much():
    """The second of two returns is refused when both are more than went out."""
    movements = [came(1, 2, 10, key=1), went(2, 2, key=2), back(3, 1, key=3, of=2), back(4, 2, key=4, of=2)]
    with pytest.raises(ValueError, match="movement 4 brings back more than went out"):
        closing("traced", movements)


def test_since_after_on_is_refused():
    """A stretch that ends before it begins is no stretch."""
    with pytest.raises(ValueError, match="2024-07-02 comes after 2024-07-01"):
        value("fifo", [], on=JULY[0], since=JULY[1])


def test_many_movements_in_any_order_of_entry():
    """A season's movements give one answer however they are handed over."""
    movements = [came(day, 5, 7 * day, key=day, batch=day) for day in range(1, 30)]
    movements += [went(day + 1, 3, key=100 + day, batch=day) for day in range(1, 30)]
    shuffled = random.Random(7).sample(movements, len(movements))
    for method in METHODS:
        assert closing(method, shuffled) == closing(method, movements)
