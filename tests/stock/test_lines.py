"""Bunch lines."""

import pytest
from django.core.exceptions import PermissionDenied

from ledger.stock.actions import add_line
from ledger.stock.models import Line
from tests.factories.drying import VarietyFactory
from tests.factories.stock import LineFactory
from tests.refusals import refused


def test_a_line_begins_with_nothing_on_hand(hand):
    """Its balance is there from the first day, at nil."""
    line = add_line(by=hand, variety=VarietyFactory(), stems=10)

    assert (line.balance.on_hand, line.balance.held, line.balance.free) == (0, 0, 0)


def test_a_line_is_named_by_what_is_sold(owner):
    """Variety, colour, grade, finish where it is not natural, and size."""
    variety = VarietyFactory(species__name="Larkspur", name="Tall")
    dyed = add_line(by=owner, variety=variety, colour="pink", grade="seconds", finish="dyed", stems=5)
    by_weight = add_line(by=owner, variety=variety, unit="weight", grams=50)
    piece = add_line(by=owner, variety=variety, unit="piece")

    assert str(dyed) == "Larkspur Tall, pink, seconds, dyed, 5 st"
    assert str(by_weight) == "Larkspur Tall, firsts, 50 g"
    assert str(piece) == "Larkspur Tall, firsts, piece"


def test_the_same_line_is_not_added_twice(owner):
    """Two bunches of ten are one line; of ten and of five are two."""
    line = LineFactory(stems=10)

    with refused("already_there"):
        add_line(by=owner, variety=line.variety, stems=10)
    add_line(by=owner, variety=line.variety, stems=5)

    assert Line.objects.count() == 2


@pytest.mark.parametrize(
    "given", [{"unit": "bunch"}, {"unit": "weight"}, {"unit": "piece", "stems": 1}, {"unit": "bunch", "stems": 10, "grams": 5}]
)
def test_a_line_has_the_size_its_unit_needs(owner, given):
    """A bunch needs its stems, a weight its grams, a piece neither."""
    with refused("size_unfit"):
        add_line(by=owner, variety=VarietyFactory(), **given)


def test_a_bookkeeper_adds_no_line(bookkeeper):
    """Lines are named by those who box."""
    with pytest.raises(PermissionDenied):
        add_line(by=bookkeeper, variety=VarietyFactory(), stems=10)
