"""What a bunch would cost and leave if something were otherwise, worked by hand."""

from fractions import Fraction

import pytest

from ledger.reckoning.selling import SellingCosts
from ledger.reckoning.sharing import MILLION
from ledger.reckoning.what_if import (
    LEVERS,
    Left,
    Moves,
    Part,
    break_even,
    cost_if,
    each_moved,
    left_by,
    longest_first,
    made_if,
    selling_if,
    sound_if,
    whole,
)

PLANTS, SOWING, ROOM = ("growing", "plants"), ("growing", "labour"), ("bed_space", "space")
CUTTING, LOFT, BANDS, BUNCHING = ("cutting", "labour"), ("drying_space", "space"), ("bunching", "packing"), ("bunching", "unpaid")
HUNG = [
    Part(PLANTS, "hung", 800), Part(SOWING, "hung", 400), Part(ROOM, "hung", 600), Part(CUTTING, "hung", 200),
    Part(LOFT, "hung", 100),
]
OWN = [Part(BANDS, "own", 50), Part(BUNCHING, "own", 150)]
TWICE, HALF = Fraction(2), Fraction(1, 2)


def test_nothing_moved_is_the_present_cost():
    """Every part comes out as it went in."""
    assert cost_if([*HUNG, *OWN], Moves()) == {part.element: part.amount for part in (*HUNG, *OWN)}


@pytest.mark.parametrize(("moves", "costs"), [
    (Moves(wage=TWICE), [800, 800, 600, 400, 100, 50, 300]),
    (Moves(plot=TWICE), [800, 400, 1200, 200, 100, 50, 150]),
    (Moves(cut=TWICE), [400, 200, 300, 200, 100, 50, 150]),
    (Moves(sound=HALF), [1600, 800, 1200, 400, 200, 50, 150]),
    (Moves(stems=HALF), [400, 200, 300, 100, 50, 50, 150]),
    (Moves(fees=TWICE, price=TWICE), [800, 400, 600, 200, 100, 50, 150]),
    (Moves(wage=TWICE, plot=HALF, cut=TWICE, sound=HALF), [800, 800, 300, 800, 200, 50, 300]),
])
def test_each_thing_moves_what_rests_on_it(moves, costs):
    """Plants 8, sowing 4, bed 6, cutting 2, loft 1, bands 0.50, bunching 1.50, as one thing after another is moved."""
    assert list(cost_if([*HUNG, *OWN], moves).values()) == costs


def test_stems_that_never_hung_lose_nothing_in_drying():
    """Half lost: the hung half of the plants costs twice as much, the half cut dry what it did."""
    assert cost_if([Part(PLANTS, "hung", 100), Part(PLANTS, "stems", 100)], Moves(sound=HALF)) == {PLANTS: 300}


def test_oddments_keep_their_scrap_value():
    """Only how many of them a bunch takes moves what they are worth."""
    everything = Moves(wage=TWICE, sound=HALF, plot=TWICE, cut=TWICE, stems=Fraction(3, 2))
    assert cost_if([Part(SOWING, "worth", 100)], everything) == {SOWING: 150}


def test_halves_go_away_from_zero():
    """A half goes up, below zero down."""
    assert (whole(Fraction(7, 2)), whole(Fraction(-7, 2)), whole(Fraction(10, 3))) == (4, -4, 3)


def test_a_loss_of_all_leaves_no_stem_to_go_by():
    """What bears nothing now cannot be moved."""
    with pytest.raises(ZeroDivisionError):
        sound_if(Fraction(1), HALF)


def test_what_is_made_follows_the_stems():
    """100 made, 60 % of the stems hung; nine tenths as many sound: 94. Half as many stems to the bunch: 200."""
    assert made_if(100, Moves(sound=Fraction(9, 10)), hung=Fraction(3, 5)) == 94
    assert made_if(100, Moves(stems=HALF), hung=Fraction(3, 5)) == 200


def test_hours_of_selling_move_with_the_wage_and_the_rest_with_the_fees():
    """A day of 30.00 pitch and 10.00 work, a parcel of 2.00: fees up by half, wage doubled."""
    costs = SellingCosts(175, ((4000, 30000), (200, 2500)))
    dearer = SellingCosts(263, ((6500, 30000), (300, 2500)))
    assert selling_if(costs, Moves(fees=Fraction(3, 2), wage=TWICE), hours=1000) == dearer
    assert selling_if(costs, Moves(), hours=1000) == costs
    assert selling_if(SellingCosts(), Moves(fees=TWICE)) == SellingCosts()


def test_what_a_price_leaves():
    """6.00 with 20 % tax: net 5.00; fees of 2 % on 6.00 are 0.12, its share of the day 0.60; of a cost of 3.00, 1.28 is left."""
    costs = SellingCosts(200, ((3000, 30000),))
    assert left_by(600, 300 * MILLION, costs, tax_bp=2000) == Left(500, 72 * MILLION, 372 * MILLION, 128 * MILLION, 2560)


def test_a_price_of_nothing_loses_all():
    """Given away, the cost is lost and the margin said as minus the whole."""
    assert left_by(0, 300 * MILLION, SellingCosts(), tax_bp=0) == Left(0, 0, 300 * MILLION, -300 * MILLION, -10_000)


SOLD = [(8100, 428, 19), (8132, 428, 19), (8133, 428, 20), (1, 0, None), (1, -5, None)]


@pytest.mark.parametrize(("cost", "one", "answer"), SOLD)
def test_break_even_goes_up_to_a_whole_bunch(cost, one, answer):
    """27 bunches at 3.00 cost 81.00, and each brings 4.28: 19 must sell; where one brings nothing, never."""
    assert break_even(cost, one) == answer


def test_each_is_moved_a_tenth_by_itself():
    """Wage 0.9 and 1.1; a loss of a fifth becomes 18 and 22 of a hundred; the others stay as they are."""
    moved = {lever: (down, up) for lever, down, up in each_moved(Moves(plot=TWICE), loss=Fraction(1, 5))}
    assert tuple(moved) == LEVERS
    assert moved["wage"] == (Moves(plot=TWICE, wage=Fraction(9, 10)), Moves(plot=TWICE, wage=Fraction(11, 10)))
    assert [one.sound for one in moved["loss"]] == [Fraction(82, 80), Fraction(78, 80)]
    assert [one.plot for one in moved["plot"]] == [Fraction(9, 5), Fraction(11, 5)]


def test_a_loss_stops_short_of_the_whole():
    """95 of a hundred and a tenth more is not more than 99."""
    moved = {lever: up for lever, _down, up in each_moved(Moves(), loss=Fraction(95, 100))}
    assert moved["loss"].sound == Fraction(1, 5)


def test_what_matters_most_stands_first():
    """By how far apart a tenth either way lies, whichever way it goes; equals stay in their order."""
    assert longest_first({"wage": (3, 1), "price": (-5, 5), "plot": (1, 3)}) == ["price", "wage", "plot"]
