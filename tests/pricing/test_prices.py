"""Ways of selling, their terms, and prices by date."""

from datetime import date

import pytest
from django.core.exceptions import PermissionDenied

from ledger.facts.actions import set_tax_rate, set_tax_status
from ledger.facts.models import Amendment, User
from ledger.pricing.actions import add_way, change_way, set_price, set_terms, undo_price, undo_terms
from ledger.pricing.models import Price, Way
from ledger.pricing.queries import price_on, prices_on, terms_on, without_tax
from tests.factories.pricing import PriceFactory, StallFactory, TermsFactory, TradeFactory
from tests.factories.stock import LineFactory
from tests.refusals import refused

JUNE = date(2024, 6, 1)


def test_a_price_holds_from_its_day_until_the_next(owner: User) -> None:
    """5.50 from January, 6.00 from June: the day before June it is still 5.50."""
    old = PriceFactory(amount=550)
    set_price(by=owner, way=old.way, line=old.line, on=JUNE, amount=600)

    found = [price_on(old.line, old.way, on) for on in (date(2023, 12, 31), date(2024, 5, 31), JUNE)]

    assert found == [None, 550, 600]
    assert prices_on(old.way, date(2024, 5, 31)) == {old.line.pk: 550}


def test_of_two_prices_of_a_day_the_later_entered_holds(owner: User) -> None:
    """A price corrected the same day is the corrected one, everywhere the same."""
    first = PriceFactory(amount=550)
    second = PriceFactory(way=first.way, line=first.line, amount=575)
    assert price_on(first.line, first.way, JUNE) == 575
    assert list(Price.objects.in_force(JUNE)) == [second]


def test_an_undone_price_gives_the_one_before(owner: User) -> None:
    """Undone, the old price stands again."""
    old = PriceFactory(amount=550)
    undo_price(by=owner, price=set_price(by=owner, way=old.way, line=old.line, on=JUNE, amount=600))
    assert list(Price.objects.in_force(JUNE)) == [old]


def test_each_line_and_way_has_its_own_price(owner: User) -> None:
    """One line by two ways and two lines by one way do not disturb each other."""
    one = PriceFactory(amount=550)
    other_way, other_line = PriceFactory(line=one.line, amount=500), PriceFactory(way=one.way, amount=300)
    assert set(Price.objects.in_force(JUNE)) == {one, other_way, other_line}


def test_a_price_net_of_tax(owner: User) -> None:
    """5.50 kept with 20 % tax is 4.58 net; a net price is itself, and so is any before the holding was registered."""
    set_tax_status(by=owner, on=date(2024, 1, 1), status="registered", number="GB 000")
    set_tax_rate(by=owner, on=date(2024, 1, 1), rate_bp=2000)
    assert without_tax(550, StallFactory(), JUNE) == 458
    assert without_tax(342, TradeFactory(), JUNE) == 342
    assert without_tax(550, StallFactory(), date(2023, 12, 31)) == 550


def test_a_price_is_more_than_nothing_and_not_of_tomorrow(owner: User) -> None:
    """Nil is refused, and so is a day that has not come."""
    way, line = StallFactory(), LineFactory()
    with refused("too_few"):
        set_price(by=owner, way=way, line=line, on=JUNE, amount=0)
    with refused("not_yet"):
        set_price(by=owner, way=way, line=line, on=date(2999, 1, 1), amount=550)


def test_terms_hold_from_their_day(owner: User) -> None:
    """The latest terms by the day; undone, those before."""
    old = TermsFactory(margin_bp=3000)
    new = set_terms(by=owner, way=old.way, on=JUNE, fee_bp=150, margin_bp=3500, ending=50)
    assert [terms_on(old.way, on) for on in (date(2023, 12, 31), date(2024, 5, 31), JUNE)] == [None, old, new]
    undo_terms(by=owner, terms=new)
    assert terms_on(old.way, JUNE) == old


def test_a_fixed_cost_of_a_day_needs_its_usual_takings(owner: User) -> None:
    """Nothing to share it on is refused, and a margin of the whole price too."""
    way = StallFactory()
    with refused("no_takings"):
        set_terms(by=owner, way=way, on=JUNE, fixed_day=4000)
    with refused("max_value"):
        set_terms(by=owner, way=way, on=JUNE, margin_bp=10_000)


def test_ways_are_named_once_and_renamed_with_a_history(owner: User) -> None:
    """The same name twice is refused; another name keeps the one before."""
    way = add_way(by=owner, name="Stall", with_tax=True)
    with refused("unique"):
        add_way(by=owner, name="Stall")
    change_way(by=owner, way=way, name="Market stall", seen={"name": "Stall"})
    assert (Way.objects.get().name, Amendment.objects.get().before) == ("Market stall", "Stall")
    with refused("stale_form"):
        change_way(by=owner, way=way, name="Gate", seen={"name": "Stall"})


def test_ways_are_retail_or_on_order(owner: User) -> None:
    """Sales and orders are each offered their own."""
    retail, trade = StallFactory(), TradeFactory()
    assert (list(Way.objects.retail()), list(Way.objects.on_order())) == ([retail], [trade])


def test_the_second_press_sets_one_price(owner: User) -> None:
    """The same form's key gives the first price again."""
    given = {"by": owner, "key": "k" * 36, "way": StallFactory(), "line": LineFactory(), "on": JUNE, "amount": 550}
    assert set_price(**given) == set_price(**given)
    assert Price.objects.count() == 1


def test_neither_hand_nor_bookkeeper_sets_prices(hand: User, bookkeeper: User, owner: User) -> None:
    """Prices are for owner and seller."""
    way, line = StallFactory(), LineFactory()
    for who in (hand, bookkeeper):
        with pytest.raises(PermissionDenied):
            set_price(by=who, way=way, line=line, on=JUNE, amount=550)
