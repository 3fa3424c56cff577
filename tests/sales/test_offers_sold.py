"""Quantity steps and offers in retail sales."""

from datetime import date

from django.urls import reverse

from ledger.facts.actions import set_tax_rate, set_tax_status
from ledger.facts.models import User
from ledger.pricing.actions import end_offer, set_price
from ledger.pricing.models import Way
from ledger.sales.actions import Sold, sell, undo_sale
from ledger.sales.models import Sale, StallDay
from ledger.sales.queries.income import income, totals_of_sale
from ledger.stock.models import Line
from tests.factories.drying import LotFactory
from tests.factories.pricing import OfferFactory, StallFactory
from tests.factories.sales import CustomerFactory, StallDayFactory, ready
from tests.factories.stock import BoxFactory, batch_of, there
from tests.sales.forms import fill

MADE, ON = date(2024, 1, 1), date(2024, 9, 7)


def at_stall(owner: User, *prices: int) -> tuple[Way, list[Line]]:
    """A stall with twenty bunches of a line at each of the prices."""
    way, lines = StallFactory(), [ready(20).line for _ in prices]
    for line, price in zip(lines, prices, strict=True):
        set_price(by=owner, way=way, line=line, on=MADE, amount=price)
    return way, lines


def rows(sale: Sale) -> list[tuple[int, int, int]]:
    """(how many, price of one, off) of each line, as entered."""
    return list(sale.lines.order_by("pk").values_list("quantity", "price", "off"))


def test_three_for_twelve_of_mixed_prices_with_the_tax_taken_out(owner: User) -> None:
    """Two at 4.50 and two at 4.00 are 17.00; the dearest three cost 13.00, 1.00 too much, 0.69 and 0.31 of it by price.

    8.31 and 7.69 are 16.00 with tax, 2.67 of it tax at 20 %, shared 1.39 and 1.28: net 6.92 and 6.41, 13.33.
    """
    set_tax_status(by=owner, on=MADE, status="registered", number="XX 000")
    set_tax_rate(by=owner, on=MADE, rate_bp=2000)
    way, (dear, cheap) = at_stall(owner, 450, 400)
    offer = OfferFactory(way=way, lines=[dear, cheap])

    sale = sell(by=owner, on=ON, way=way, lines=[Sold(2, line=dear), Sold(2, line=cheap)])

    assert rows(sale) == [(2, 450, 69), (2, 400, 31)]
    assert {line.offer for line in sale.lines.all()} == {offer}
    assert Sale.objects.with_takings().get().taken == 1600
    assert [(one.net, one.gross) for one in income(ON, ON)] == [(692, 831), (641, 769)]
    assert totals_of_sale(list(sale.lines.all())) == (1333, 1600)


def test_a_price_given_is_left_alone(owner: User) -> None:
    """Neither the list's own price nor another counts towards an offer once it is given; only none does."""
    way, (line,) = at_stall(owner, 450)
    OfferFactory(way=way, lines=[line])
    given = [Sold(3, line=line, price=price, why="wet") for price in (None, 450, 440)]
    sold = [rows(sell(by=owner, on=ON, way=way, lines=[one])) for one in given]
    assert sold == [[(3, 450, 150)], [(3, 450, 0)], [(3, 440, 0)]]


def test_an_offer_counts_on_its_days_and_by_its_way_only(owner: User) -> None:
    """The day before it begins, from the day it is ended, and by another way it takes nothing off."""
    way, (line,) = at_stall(owner, 450)
    offer = OfferFactory(way=way, on=date(2024, 8, 10), lines=[line])
    end_offer(by=owner, offer=offer, on=date(2024, 9, 1))
    other = StallFactory()
    set_price(by=owner, way=other, line=line, on=MADE, amount=450)
    sold = [Sold(3, line=line)]
    days = [(way, date(2024, 8, 9)), (way, date(2024, 8, 10)), (way, date(2024, 9, 1)), (other, date(2024, 8, 20))]
    assert [rows(sell(by=owner, on=on, way=by_way, lines=sold))[0][2] for by_way, on in days] == [0, 150, 0, 0]


def test_quantity_steps_count_all_of_a_line_in_the_sale(owner: User) -> None:
    """Ten or more at 4.20: six from one box and four from another are ten."""
    stock, way, box = ready(20), StallFactory(), BoxFactory(shelf="B2")
    batch_of(stock.line, 5, box=box)
    set_price(by=owner, way=way, line=stock.line, on=MADE, amount=450)
    set_price(by=owner, way=way, line=stock.line, on=MADE, amount=420, at_least=10)
    six_and_four = [Sold(6, line=stock.line, box=stock.box), Sold(4, line=stock.line, box=box)]
    assert rows(sell(by=owner, on=ON, way=way, lines=six_and_four)) == [(6, 420, 0), (4, 420, 0)]
    assert rows(sell(by=owner, on=ON, way=way, lines=[Sold(9, line=stock.line)])) == [(9, 450, 0)]


def test_a_line_in_two_offers_is_sold_in_two_lines(owner: User) -> None:
    """Five at 4.50, three for 12.00 and two for 8.50: two lines of the sale, and five bunches gone once."""
    stock, way = ready(20), StallFactory()
    set_price(by=owner, way=way, line=stock.line, on=MADE, amount=450)
    OfferFactory(way=way, lines=[stock.line])
    OfferFactory(way=way, name="Two for 8.50", quantity=2, amount=850, lines=[stock.line])
    sale = sell(by=owner, on=ON, way=way, lines=[Sold(5, line=stock.line)])
    assert rows(sale) == [(3, 450, 150), (2, 450, 50)]
    assert there(stock.batch) == [(stock.box.code, 15)]
    undo_sale(by=owner, sale=sale)
    assert there(stock.batch) == [(stock.box.code, 20)]


def test_own_prices_and_fresh_stems_are_in_no_offer(owner: User) -> None:
    """Two at the list's price and stems of a lot do not make three."""
    way, (line,) = at_stall(owner, 450)
    OfferFactory(way=way, lines=[line])
    lot = LotFactory(stems=100)
    assert rows(sell(by=owner, on=ON, way=way, lines=[Sold(2, line=line), Sold(9, lot=lot, price=450)])) == [
        (2, 450, 0), (9, 450, 0),
    ]


def test_takings_of_a_stall_day_are_what_was_taken(owner: User) -> None:
    """What an offer took off is in neither the sale's takings nor the day's."""
    way, (line,) = at_stall(owner, 450)
    OfferFactory(way=way, lines=[line])
    day = StallDayFactory(on=ON, way=way)
    sell(by=owner, on=ON, way=way, lines=[Sold(4, line=line)], stall_day=day)
    assert StallDay.objects.with_takings().get().taken == 1650


def test_the_pages_say_what_is_offered_and_what_came_off(owner: User, client_as) -> None:
    """The form tells steps and offers beside the line; the sale's page what the offer took off."""
    way, (line,) = at_stall(owner, 450)
    set_price(by=owner, way=way, line=line, on=MADE, amount=420, at_least=10)
    OfferFactory(way=way, lines=[line])
    client, url = client_as(owner), f"{reverse('sales:sell')}?way={way.pk}"
    page = client.get(url).content.decode()
    assert "from 10: 4.20" in page and "Three for 12.00 (3: 12.00)" in page

    answer = fill(client, url, **{f"n_{line.pk}": "3", "on": "2024-09-07"})

    page = client.get(answer.headers["Location"]).content.decode()
    assert "Off by offer" in page and "−1.50" in page and "12.00" in page


def test_a_sale_without_an_offer_says_nothing_of_offers(owner: User, client_as) -> None:
    """No empty column."""
    way, (line,) = at_stall(owner, 450)
    sale = sell(by=owner, on=ON, way=way, lines=[Sold(2, line=line)], customer=CustomerFactory(trade=False))
    assert "Off by offer" not in client_as(owner).get(sale.get_absolute_url()).content.decode()
