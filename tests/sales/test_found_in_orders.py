"""Orders looked at again: what lists, notes and undoing said wrongly of them once."""

from datetime import date

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from ledger.sales.actions import (
    Asked,
    SaidOf,
    change_order,
    hand_over,
    pack,
    report,
    stand_in,
    take_order,
    undo_order,
)
from ledger.sales.forms.written import written
from ledger.sales.models import HandedOver
from ledger.sales.queries.lacking import lines_lacking
from ledger.sales.queries.picking import picks, still_to_come
from ledger.stock.actions import add_line, write_off
from tests.factories.sales import ORDERED, CustomerFactory, order_of, ready
from tests.factories.stock import BoxFactory, LineFactory, batch_of

PACKED, OUT, SAID = date(2024, 9, 2), date(2024, 9, 3), date(2024, 9, 4)


@pytest.fixture
def out(owner):
    """Of ten wanted on sale or return six were promised and handed over; the order, its line and the parcel."""
    stock = ready(6)
    order = take_order(
        by=owner, on=ORDERED, customer=CustomerFactory(), way=stock.way, lines=[Asked(stock.line, 10, 6, 300)],
        sale_or_return=True,
    )
    line = order.lines.get()
    pack(by=owner, order_line=line, on=PACKED, batch=stock.batch, box=stock.box, bunches=6)
    return stock, order, line, hand_over(by=owner, order=order, on=OUT)


def test_what_the_customer_has_is_not_still_to_come(owner, out):
    """Four of six sold: the other two are there already, and nothing else was promised."""
    stock, order, line, parcel = out
    report(by=owner, handed_over=parcel, on=SAID, said=[SaidOf(line, stock.batch, 4)])

    assert still_to_come(order) == []


def test_what_was_never_promised_lacks_though_some_came_back(owner, out):
    """Two of the six came back; four of the ten were never promised."""
    stock, _order, line, parcel = out
    report(by=owner, handed_over=parcel, on=SAID, said=[SaidOf(line, stock.batch, 4, 2)], box=stock.box)

    assert [one.lacking for one in lines_lacking()] == [4]


def test_an_orders_page_asks_no_more_for_more_reports(owner, out, client_as):
    """The second report adds no statement to the page."""
    stock, order, line, parcel = out
    counts, client = [], client_as(owner)
    for _ in range(2):
        made = report(by=owner, handed_over=parcel, on=SAID, said=[SaidOf(line, stock.batch, 1, 1)], box=stock.box)
        parcel = HandedOver.objects.get(parcel=made.goes_on_in)
        with CaptureQueriesContext(connection) as asked:
            assert client.get(order.get_absolute_url()).status_code == 200
        counts.append(len(asked))

    assert counts[1] <= counts[0]


def two_lines_of_one(owner):
    """An order whose own line of six and another standing in for six more are of one line; twelve in two boxes."""
    stock, other = ready(12), ready(1)
    asked = [Asked(stock.line, 6, None, 300), Asked(other.line, 6, 0, 300)]
    order = take_order(by=owner, on=ORDERED, customer=CustomerFactory(), way=stock.way, lines=asked)
    stand_in(by=owner, order_line=order.lines.get(line=other.line), on=PACKED, line=stock.line, bunches=6)
    batch_of(stock.line, 6, on=date(2024, 8, 5), box=BoxFactory())
    write_off(by=owner, on=PACKED, batch=stock.batch, box=stock.box, bunches=6, reason="damp")
    return stock, order


def test_no_place_is_proposed_beyond_what_lies_there(owner):
    """Six from each box, not twelve from the first."""
    _stock, order = two_lines_of_one(owner)
    proposed: dict[int, int] = {}
    for pick in picks(order):
        proposed[pick.content.pk] = proposed.get(pick.content.pk, 0) + pick.proposed

    assert sorted(proposed.values()) == [6, 6]


def test_an_order_is_listed_once_by_a_line_it_has_twice(owner, client_as):
    """Its own line and what stands in are of the same."""
    stock, order = two_lines_of_one(owner)
    page = client_as(owner).get(f"{reverse('sales:orders')}?line={stock.line.pk}")

    assert [row.record.pk for row in page.context["table"].rows] == [order.pk]


def test_an_order_of_which_nothing_was_sent_is_not_done(owner, client_as):
    """Ten asked for, none promised."""
    order_of(ready(12), 10, promised=0)

    page = client_as(owner).get(f"{reverse('sales:orders')}?state=done")

    assert not page.context["table"].rows


def test_an_order_said_anew_is_undone_with_what_was_said(owner):
    """Its day was changed; one undo takes both."""
    order = order_of(ready(20), 10)
    change = change_order(by=owner, order=order, on=PACKED, wanted_on=date(2024, 9, 9))

    undo_order(by=owner, order=order)

    change.refresh_from_db()
    order.refresh_from_db()
    assert not order.stands and not change.stands


def test_a_line_written_as_it_is_called_is_found(owner):
    """With the hyphen in its colour and the parts of its name."""
    line = add_line(by=owner, variety=LineFactory().variety, colour="blue-grey", stems=25)

    assert written(f"20 {line}", [line]) == {line: 20}
