"""Carriage said after everything was sent is billed afterwards; carriage is credited in part."""

from datetime import date

import pytest
from django.urls import reverse

from ledger.books.queries.net_sales import net_sales
from ledger.books.queries.proof_papers import paper_differences
from ledger.facts.actions import set_tax_rate, set_tax_status
from ledger.sales.actions import change_order, credit, invoice, undo_order_change
from ledger.sales.filters import OrderFilter
from ledger.sales.models import InvoiceLine, Order
from ledger.sales.queries.carriage import carriage_left
from ledger.sales.queries.income import income
from ledger.sales.queries.papers import lines_to_credit
from ledger.sales.today import notes
from tests.factories.sales import BILLED, SENT, order_of, packed, ready, sent
from tests.filling import fill, read
from tests.refusals import refused

FIRST, LATER, LAST = date(2024, 1, 1), date(2024, 9, 20), date(2024, 10, 1)


@pytest.fixture
def stock(owner):
    """Twenty bunches, the seller registered at 20 %."""
    set_tax_status(by=owner, on=FIRST, status="registered", number="123")
    set_tax_rate(by=owner, on=FIRST, rate_bp=2000)
    return ready(20)


@pytest.fixture
def all_sent(owner, stock):
    """Four at 3.42 sent, without a word of carriage."""
    order = order_of(stock, 4)
    sent(order, stock, 4)
    return order


def say(owner, order, carriage, on=BILLED):
    """Say that there is carriage after all."""
    return change_order(by=owner, order=order, on=on, carriage=carriage)


def test_it_is_on_the_invoice_of_what_was_sent(owner, all_sent):
    """13.68 and 8.50: 22.18 net, 4.44 tax (4.436); nothing is left of it, and it is income of the day of sending."""
    say(owner, all_sent, 850)
    issued = invoice(by=owner, order=all_sent, on=BILLED, carriage_too=True)

    assert (issued.net, issued.tax) == (2218, 444)
    assert [(line.description, line.net) for line in issued.lines.all()][-1] == ("Carriage", 850)
    assert carriage_left(all_sent) == 0
    assert [(line.on, line.net, line.gross) for line in income(None, LATER)] == [(SENT, 2218, 2662)]
    assert net_sales(FIRST, LATER) == 2218 and net_sales(FIRST, SENT) == 1368


def test_it_is_billed_by_itself_after_the_goods_were(owner, all_sent):
    """An invoice of the carriage alone; asked for again there is nothing more."""
    invoice(by=owner, order=all_sent, on=BILLED)
    say(owner, all_sent, 850)
    with refused("nothing_to_invoice"):
        invoice(by=owner, order=all_sent, on=LATER)
    issued = invoice(by=owner, order=all_sent, on=LATER, carriage_too=True)

    assert (issued.net, issued.tax, issued.lines.count()) == (850, 170, 1)
    with refused("nothing_to_invoice"):
        invoice(by=owner, order=all_sent, on=LATER, carriage_too=True)
    assert [line.net for line in income(None, LATER)] == [2218]
    assert list(paper_differences()) == []


def test_more_of_it_joins_what_went_with_a_parcel_not_yet_billed(owner, stock):
    """3.00 went along, 8.50 are said since: one line of 8.50."""
    order = order_of(stock, 4)
    say(owner, order, 300, on=SENT)
    sent(order, stock, 4)
    say(owner, order, 850)
    issued = invoice(by=owner, order=order, on=BILLED, carriage_too=True)

    assert issued.lines.get(carriage_of__isnull=False).net == 850
    assert net_sales(FIRST, LATER) == 1368 + 850


def test_without_a_parcel_to_bill_it_with_it_is_refused(owner, stock):
    """Not before anything was sent, and not where each parcel's carriage is on a paper; saying less again stays open."""
    order = order_of(stock, 4)
    change = say(owner, order, 300, on=SENT)
    with refused("nothing_to_invoice"):
        invoice(by=owner, order=order, on=BILLED, carriage_too=True)
    sent(order, stock, 4)
    invoice(by=owner, order=order, on=BILLED)
    more = say(owner, order, 850)
    with refused("carriage_on_paper"):
        invoice(by=owner, order=order, on=LATER, carriage_too=True)

    undo_order_change(by=owner, change=more)
    with refused("carriage_sent"):
        undo_order_change(by=owner, change=change)


def test_what_was_billed_late_cannot_be_unsaid(owner, all_sent):
    """As little as what went with a parcel."""
    change = say(owner, all_sent, 850)
    invoice(by=owner, order=all_sent, on=BILLED, carriage_too=True)
    with refused("carriage_sent"):
        undo_order_change(by=owner, change=change)
    with refused("carriage_sent"):
        say(owner, all_sent, 800)


def test_the_order_leads_to_it_and_the_page_proposes_it(owner, all_sent, client_as):
    """Said on the order's page; ticked where all is sent, and billed by one press."""
    invoice(by=owner, order=all_sent, on=BILLED)
    client, address = client_as(owner), reverse("sales:invoice_order", args=[all_sent.pk])
    assert address not in read(client, all_sent.get_absolute_url())
    say(owner, all_sent, 850)

    assert address in read(client, all_sent.get_absolute_url())
    page = read(client, address)
    assert "8.50 of its carriage went with no parcel" in page and "checked" in page
    assert fill(client, address, on="2024-09-20").status_code == 302
    assert InvoiceLine.objects.filter(carriage_of__isnull=False).count() == 1
    assert address not in read(client, all_sent.get_absolute_url())


def test_today_and_the_list_name_it_until_it_is_billed(owner, all_sent):
    """Invoiced, then carriage is said: to be invoiced again, until it is."""
    invoice(by=owner, order=all_sent, on=BILLED)
    change = say(owner, all_sent, 850)
    asked = Order.objects.with_standing().to_be_invoiced
    assert list(asked()) == [all_sent]
    assert "1 order is to be invoiced" in [str(said) for said, _where in notes(owner, LATER)]
    listed = OrderFilter({"state": "to_invoice"}, Order.objects.standing().with_standing())
    assert list(listed.qs) == [all_sent]

    undo_order_change(by=owner, change=change)
    assert list(asked()) == []
    say(owner, all_sent, 500)
    invoice(by=owner, order=all_sent, on=LATER, carriage_too=True)
    assert list(asked()) == []


def test_while_more_is_to_be_sent_it_is_not_ticked(owner, stock, client_as):
    """It goes with the next parcel, unless the grower ticks it."""
    order = order_of(stock, 10)
    sent(order, stock, 4)
    say(owner, order, 850)
    address = reverse("sales:invoice_order", args=[order.pk])
    assert "checked" not in read(client_as(owner), address)

    invoice(by=owner, order=order, on=BILLED, carriage_too=True)
    packed(order, stock, 6, on=BILLED)
    assert carriage_left(Order.objects.get(pk=order.pk)) == 0


def test_part_of_it_is_credited_and_then_the_rest(owner, all_sent):
    """3.00 of 8.50, then 5.50: tax 0.60 and 1.70 - 0.60; 5.51 would be too much, and so is nothing."""
    say(owner, all_sent, 850)
    issued = invoice(by=owner, order=all_sent, on=BILLED, carriage_too=True)
    carried = issued.lines.get(carriage_of__isnull=False)
    first = credit(by=owner, invoice=issued, on=LATER, lines=[], carriage=[(carried, 300)], why="a smaller van")

    assert (first.net, first.tax, net_sales(FIRST, LATER)) == (300, 60, 1918)
    assert lines_to_credit(issued).get(pk=carried.pk).left_net == 550
    for amount in (551, 0):
        with refused("too_much"):
            credit(by=owner, invoice=issued, on=LATER, lines=[], carriage=[(carried, amount)], why="again")
    last = credit(by=owner, invoice=issued, on=LAST, lines=[], carriage=[(carried, 550)], why="fetched after all")
    assert (last.net, last.tax) == (550, 110)
    assert [line.net for line in income(None, LAST)] == [1368]
    assert list(paper_differences()) == []


def test_goods_are_credited_by_number_and_not_by_amount(owner, all_sent):
    """Bunches named as carriage are refused, and carriage credited in part no longer goes whole."""
    say(owner, all_sent, 850)
    issued = invoice(by=owner, order=all_sent, on=BILLED, carriage_too=True)
    goods, carried = issued.lines.order_by("pk")
    with refused("not_carriage"):
        credit(by=owner, invoice=issued, on=LATER, lines=[], carriage=[(goods, 100)], why="no")
    credit(by=owner, invoice=issued, on=LATER, lines=[], carriage=[(carried, 300)], why="a smaller van")
    with refused("too_many"):
        credit(by=owner, invoice=issued, on=LATER, lines=[(carried, 1)], why="all of it")


def test_the_page_of_a_credit_takes_an_amount_of_carriage(owner, all_sent, client_as):
    """One bunch and 2.00 of carriage: 5.42."""
    say(owner, all_sent, 850)
    issued = invoice(by=owner, order=all_sent, on=BILLED, carriage_too=True)
    goods, carried = issued.lines.order_by("pk")
    client, address = client_as(owner), reverse("sales:credit", args=[issued.pk])
    assert "8.50 can be credited" in read(client, address)

    typed = {f"n_{goods.pk}": 1, f"amount_{carried.pk}": "2.00", "why": "late", "on": "2024-09-20"}
    assert fill(client, address, **typed).status_code == 302
    assert issued.credited_by.get().net == 542


@pytest.mark.unproved
def test_the_proof_names_carriage_billed_beyond_what_was_said(owner, all_sent):
    """8.50 billed of 8.00 said; 9.00 credited of 8.50."""
    change = say(owner, all_sent, 850)
    issued = invoice(by=owner, order=all_sent, on=BILLED, carriage_too=True)
    carried = issued.lines.get(carriage_of__isnull=False)
    credited = credit(by=owner, invoice=issued, on=LATER, lines=[], carriage=[(carried, 850)], why="none")
    type(change).objects.filter(pk=change.pk).update(carriage=800)
    assert any("more carriage is billed than was said" in one for one in paper_differences())
    credited.lines.update(price=900, net=900)
    assert any("850 of carriage invoiced, 900 credited" in one for one in paper_differences())
