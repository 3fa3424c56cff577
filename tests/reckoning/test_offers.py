"""Several together for one price: what each line gets off."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.reckoning.offers import Piece, Several, Units, take_off

SAGE, TEASEL, WREATH = 1, 2, 3


def three(key=1, *, amount=1200, lines=(SAGE, TEASEL), quantity=3):
    """Three of sage and teasel for 12.00."""
    return Several(key, quantity, amount, frozenset(lines))


def offs(pieces):
    """What came off each line."""
    return [sum(piece.off for piece in of_line) for of_line in pieces]


def test_an_offer_counts_as_often_as_its_quantity_goes_in():
    """Seven at 4.50 are two times three at 12.00 and one alone: 1.50 off twice."""
    assert take_off([Units(SAGE, 7, 450)], [three()]) == [[Piece(7, 1, 300)]]


def test_two_of_three_are_not_three():
    """Fewer than the offer asks for get nothing off."""
    assert take_off([Units(SAGE, 2, 450)], [three()]) == [[Piece(2)]]


def test_the_dearest_units_come_first():
    """Two at 4.50 and two at 4.00: 4.50 + 4.50 + 4.00 less 12.00 is 1.00, shared 9.00 to 4.00: 0.69 and 0.31."""
    assert offs(take_off([Units(TEASEL, 2, 400), Units(SAGE, 2, 450)], [three()])) == [31, 69]


def test_an_offer_that_saves_nothing_does_not_count():
    """Three at 4.00 cost 12.00 anyway, three at 3.50 less: nobody pays more for an offer."""
    assert offs(take_off([Units(SAGE, 3, 400)], [three()])) == [0]
    assert offs(take_off([Units(SAGE, 3, 350)], [three()])) == [0]


def test_only_the_sets_that_save_are_taken():
    """Three at 5.00 are worth an offer of 12.00, three more at 3.00 are not."""
    assert take_off([Units(SAGE, 3, 500), Units(TEASEL, 3, 300)], [three()]) == [[Piece(3, 1, 300)], [Piece(3)]]


def test_lines_not_named_are_left_alone():
    """A wreath beside three bunches pays its price."""
    assert offs(take_off([Units(WREATH, 1, 2400), Units(SAGE, 3, 450)], [three()])) == [0, 150]


def test_the_offer_that_saves_most_comes_first_and_no_unit_counts_twice():
    """Three for 12.00 takes 1.50 off 13.50, two for 7.00 takes 2.00 off 9.00: the two are taken, one is left alone."""
    pair = three(2, amount=700, quantity=2)
    assert take_off([Units(SAGE, 3, 450)], [three(), pair]) == [[Piece(3, 2, 200)]]


def test_ties_go_to_the_lower_key():
    """Two offers that save the same: the one made first."""
    assert take_off([Units(SAGE, 3, 450)], [three(9), three(4)]) == [[Piece(3, 4, 150)]]


def test_a_line_in_two_offers_is_parted():
    """Five at 4.50: three for 12.00 leave two for 8.50; each piece names its own offer."""
    pieces = take_off([Units(SAGE, 5, 450)], [three(), three(2, amount=850, quantity=2, lines=(SAGE,))])
    assert pieces == [[Piece(3, 1, 150), Piece(2, 2, 50)]]


def test_nothing_sold_and_no_offers():
    """Without offers all is as it was; an offer of none is none."""
    assert take_off([], [three()]) == []
    assert take_off([Units(SAGE, 3, 450)], []) == [[Piece(3)]]
    with pytest.raises(ValueError, match="at least one"):
        three(quantity=0)


units = st.lists(st.builds(Units, st.integers(1, 4), st.integers(1, 12), st.integers(0, 900)), max_size=6)
offers = st.lists(
    st.builds(
        Several, st.integers(1, 99), st.integers(2, 5), st.integers(1, 2500),
        st.frozensets(st.integers(1, 4), min_size=1),
    ),
    max_size=4, unique_by=lambda one: one.key,
)


@given(units, offers)
def test_quantities_add_up_and_never_more_comes_off_than_it_costs(sold, made):
    """Pieces hold all that was sold; what comes off a piece is at most its price, and has an offer."""
    for one, pieces in zip(sold, take_off(sold, made), strict=True):
        assert sum(piece.quantity for piece in pieces) == one.quantity
        assert all(0 <= piece.off <= piece.quantity * one.price for piece in pieces)
        assert all(piece.offer is not None for piece in pieces if piece.off)


@given(units, offers)
def test_every_offer_taken_saves_whole_sets(sold, made):
    """The sum off is, offer by offer, what its units cost less its price for each whole set: no unit counts twice."""
    by_key = {one.key: one for one in made}
    off: dict[int, int] = {}
    for pieces in take_off(sold, made):
        for piece in pieces:
            if piece.offer is not None:
                off[piece.offer] = off.get(piece.offer, 0) + piece.off
    worth = sum(one.quantity * one.price for one in sold)
    assert all(saved > 0 for saved in off.values())
    assert sum(off.values()) + sum(by_key[key].amount for key in off) <= worth


@given(units, offers)
def test_the_order_of_lines_and_offers_changes_nothing_of_the_sum(sold, made):
    """Whichever offer was read first, as much comes off in all where lines do not cost alike."""
    if len({one.price for one in sold}) == len(sold):
        assert sum(offs(take_off(sold, made))) == sum(offs(take_off(sold[::-1], made[::-1])))
