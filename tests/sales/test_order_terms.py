"""Terms and packs of orders by a way: least order, carriage, multiples."""

from datetime import date

import pytest
from django.core.exceptions import PermissionDenied

from ledger.facts.models import User
from ledger.pricing.models import Way
from ledger.sales.actions import (
    Asked,
    set_order_terms,
    set_pack_rule,
    take_order,
    undo_order_terms,
    undo_pack_rule,
)
from ledger.sales.models import Order
from ledger.sales.queries.terms import order_terms_on, pack_rules_on, rule_in_words, terms_in_sentences
from tests.factories.pricing import StallFactory, TradeFactory
from tests.factories.sales import ORDERED, CustomerFactory, Ready, ready
from tests.refusals import refused

MAY, JUNE = date(2024, 5, 1), date(2024, 6, 1)


def ordered(stock: Ready, asked: int, *, price: int = 500, **more: object) -> Order:
    """An order of so many at 5.00."""
    lines = [Asked(stock.line, asked, 0, price)]
    by = User.objects.get(username="owner")
    return take_order(by=by, on=ORDERED, customer=CustomerFactory(), way=stock.way, lines=lines, **more)  # type: ignore[arg-type]


def test_the_latest_terms_of_the_day_hold_until_they_are_undone(owner: User) -> None:
    """May's in May, June's from June, May's again once June's are undone."""
    way = TradeFactory()
    first = set_order_terms(by=owner, way=way, on=MAY, least=2000, carriage=600)
    second = set_order_terms(by=owner, way=way, on=JUNE, carriage=700, free_from=15000)
    assert [order_terms_on(way, day) for day in (date(2024, 4, 30), MAY, date(2024, 5, 31), JUNE)] == [None, first, first, second]

    undo_order_terms(by=owner, terms=second)

    assert order_terms_on(way, JUNE) == first


def test_an_order_below_the_least_is_refused_unless_it_is_taken_all_the_same(owner: User) -> None:
    """The least is 20.00: three at 5.00 lack 5.00, four do; three do when the owner says so."""
    stock = ready(20)
    set_order_terms(by=owner, way=stock.way, on=MAY, least=2000)

    with refused("below_least") as told:
        ordered(stock, 3)
    assert "5.00 is lacking" in str(told.value)

    assert ordered(stock, 4) and ordered(stock, 3, all_the_same=True)


def test_a_number_off_its_pack_is_told_what_would_do(owner: User) -> None:
    """In fives from ten on: fourteen is told ten or fifteen, three only ten; ten does."""
    stock = ready(20)
    rule = set_pack_rule(by=owner, way=stock.way, on=MAY, least=10, multiple=5)

    with refused("pack") as told:
        ordered(stock, 14)
    assert "10 or 15 would do" in str(told.value)
    with refused("pack") as told:
        ordered(stock, 3)
    assert ": 10 would do" in str(told.value)
    assert ordered(stock, 10) and ordered(stock, 14, all_the_same=True)

    undo_pack_rule(by=owner, rule=rule)
    assert ordered(stock, 14)


def test_a_line_s_own_rule_goes_before_that_of_any_line(owner: User) -> None:
    """Any line in fives, this one in threes: six does, five does not."""
    stock = ready(20)
    set_pack_rule(by=owner, way=stock.way, on=MAY, multiple=5)
    set_pack_rule(by=owner, way=stock.way, on=MAY, line=stock.line, multiple=3)
    with refused("pack"):
        ordered(stock, 5)
    assert ordered(stock, 6)
    assert rule_in_words(pack_rules_on(stock.way, ORDERED)[stock.line.pk]) == "in multiples of 3"


@pytest.mark.parametrize(("asked", "typed", "carriage"), [(29, None, 850), (30, None, 0), (30, 400, 400), (1, 0, 0)])
def test_carriage_is_that_of_the_terms_unless_it_is_typed(owner: User, asked: int, typed: int | None, carriage: int) -> None:
    """8.50, free from 150.00: 145.00 bears it, 150.00 does not; what is typed is left alone."""
    stock = ready(20)
    set_order_terms(by=owner, way=stock.way, on=MAY, carriage=850, free_from=15000)
    assert ordered(stock, asked, carriage=typed).carriage == carriage


def test_terms_are_of_ways_on_order_only(owner: User) -> None:
    """Nothing is ordered from a stall."""
    with refused("not_trade"):
        set_order_terms(by=owner, way=StallFactory(), on=MAY)
    with refused("not_trade"):
        set_pack_rule(by=owner, way=StallFactory(), on=MAY)


def test_a_sum_from_which_carriage_is_free_needs_carriage(owner: User, way: Way) -> None:
    """Free from 100.00 says nothing where nothing is charged."""
    with refused("no_carriage"):
        set_order_terms(by=owner, way=way, on=MAY, free_from=10000)


def test_terms_in_sentences(owner: User, way: Way) -> None:
    """As the page says them."""
    terms = set_order_terms(by=owner, way=way, on=MAY, least=2000, carriage=850, free_from=15000)
    assert terms_in_sentences(terms) == ["The least order is 20.00, net.", "Carriage is 8.50, net; none from 150.00 on."]
    always = set_order_terms(by=owner, way=way, on=JUNE, carriage=850)
    assert terms_in_sentences(always) == ["Carriage is 8.50, net."]
    never = set_order_terms(by=owner, way=way, on=JUNE)
    assert terms_in_sentences(never) == ["No carriage is charged."] and terms_in_sentences(None) == []


def test_a_hand_sets_no_terms(hand: User, way: Way) -> None:
    """Prices are the owner's and the seller's."""
    with pytest.raises(PermissionDenied):
        set_order_terms(by=hand, way=way, on=MAY)


@pytest.fixture
def way(owner: User) -> Way:
    return TradeFactory()
