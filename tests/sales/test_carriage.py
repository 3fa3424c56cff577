"""Carriage: with the first dispatch or as typed, on the invoice, credited, income shared over the lines."""

from datetime import date

import pytest
from django.urls import reverse

from ledger.books.queries.net_sales import net_sales
from ledger.books.queries.proof_papers import paper_differences
from ledger.books.queries.proof_sold import sold_differences
from ledger.facts.actions import set_tax_rate, set_tax_status
from ledger.facts.models import User
from ledger.sales.actions import (
    Asked,
    change_order,
    credit,
    invoice,
    pack,
    send,
    stand_in,
    take_order,
    undo_dispatch,
    undo_order_change,
)
from ledger.sales.models import Order, OrderLine
from ledger.sales.queries.carriage import carriage_left
from ledger.sales.queries.income import income
from ledger.sales.queries.papers import lines_to_credit
from tests.factories.sales import BILLED, ORDERED, PACKED, SENT, CustomerFactory, Ready, order_of, packed, ready
from tests.filling import read
from tests.refusals import refused

FIRST, LATER = date(2024, 1, 1), date(2024, 9, 20)


@pytest.fixture
def stock(owner: User) -> Ready:
    """Twenty bunches, the seller registered at 20 %."""
    set_tax_status(by=owner, on=FIRST, status="registered", number="123")
    set_tax_rate(by=owner, on=FIRST, rate_bp=2000)
    return ready(20)


def ordered(stock: Ready, asked: int = 10, *, carriage: int = 850, price: int = 342) -> Order:
    """An order with carriage of 8.50."""
    lines = [Asked(stock.line, asked, None, price)]
    by = User.objects.get(username="owner")
    return take_order(by=by, on=ORDERED, customer=CustomerFactory(), way=stock.way, lines=lines, carriage=carriage)


def two_lines(stock: Ready, owner: User) -> Order:
    """Three at 3.42 and five at 2.00 of another line, carriage 8.50, all packed."""
    other = ready(20)
    lines = [Asked(stock.line, 3, None, 342), Asked(other.line, 5, None, 200)]
    order = take_order(by=owner, on=ORDERED, customer=CustomerFactory(), way=stock.way, lines=lines, carriage=850)
    for of, line in zip((stock, other), order.lines.order_by("pk"), strict=True):
        pack(by=owner, order_line=line, on=PACKED, batch=of.batch, box=of.box, bunches=line.asked)
    return order


def test_it_goes_whole_with_the_first_dispatch(stock: Ready, owner: User) -> None:
    """8.50 with the first, nothing with the second."""
    order = ordered(stock)
    packed(order, stock, 4)
    first = send(by=owner, order=order, on=SENT)
    packed(order, stock, 6, on=SENT)
    assert (first.carriage, send(by=owner, order=order, on=SENT).carriage, carriage_left(order)) == (850, 0, 0)


def test_a_part_may_be_typed_and_the_rest_goes_with_the_next(stock: Ready, owner: User) -> None:
    """3.00 now; 6.00 cannot go with the next, 5.50 does; undone, it is left again."""
    order = ordered(stock)
    packed(order, stock, 4)
    assert send(by=owner, order=order, on=SENT, carriage=300).carriage == 300
    packed(order, stock, 6, on=SENT)
    with refused("too_much"):
        send(by=owner, order=order, on=SENT, carriage=600)
    second = send(by=owner, order=order, on=SENT)
    assert second.carriage == 550
    undo_dispatch(by=owner, dispatch=second)
    assert carriage_left(Order.objects.get(pk=order.pk)) == 550


def test_the_invoice_bills_it_as_its_own_line_with_tax(stock: Ready, owner: User) -> None:
    """3 x 3.42 + 5 x 2.00 = 20.26, and 8.50: net 28.76, tax at 20 % 5.75 (5.752), 34.51 to be paid."""
    order = two_lines(stock, owner)
    send(by=owner, order=order, on=SENT)

    issued = invoice(by=owner, order=order, on=BILLED)

    assert (issued.net, issued.tax, issued.gross) == (2876, 575, 3451)
    assert [(line.description, line.net) for line in issued.lines.all()][-1] == ("Carriage", 850)


def test_it_is_income_of_the_lines_it_went_with_by_their_value(stock: Ready, owner: User) -> None:
    """8.50 over 10.26 and 10.00: 850 x 1026 / 2026 = 430.45 and 419.54, so 4.30 and 4.20: 14.56 and 14.20.

    Tax 5.75 over 10.26, 10.00 and 8.50: 205.1, 199.9, 169.9 make 2.05, 2.00, 1.70; the 1.70 over the lines again 0.86 and
    0.84: gross 17.47 and 17.04, together 34.51.
    """
    order = two_lines(stock, owner)
    send(by=owner, order=order, on=SENT)
    invoice(by=owner, order=order, on=BILLED)

    found = income(None, LATER)

    assert [(line.net, line.gross) for line in found] == [(1456, 1747), (1420, 1704)]
    assert net_sales(FIRST, LATER) == 2876


def test_carriage_credited_is_taken_off_the_lines_again(stock: Ready, owner: User) -> None:
    """Credited whole: 10.26 and 10.00 are left, and the tax of 28.76 less that of 8.50: 5.75 - 1.70."""
    order = two_lines(stock, owner)
    send(by=owner, order=order, on=SENT)
    issued = invoice(by=owner, order=order, on=BILLED)
    carried = lines_to_credit(issued).get(carriage_of__isnull=False)

    credited = credit(by=owner, invoice=issued, on=LATER, lines=[(carried, 1)], why="fetched after all")

    assert (credited.net, credited.tax) == (850, 170)
    found = income(None, LATER)
    assert [line.net for line in found] == [1026, 1000] and sum(line.gross for line in found) == 3451 - 1020
    assert net_sales(FIRST, LATER) == 2026 and net_sales(FIRST, date(2024, 9, 19)) == 2876


def test_carriage_of_goods_given_away_is_shared_by_bunches(stock: Ready, owner: User) -> None:
    """Four free bunches bring in their carriage."""
    order = ordered(stock, 4, price=0)
    packed(order, stock, 4)
    send(by=owner, order=order, on=SENT)
    assert [line.net for line in income(None, LATER)] == [850]


def test_it_is_changed_with_a_history_but_not_below_what_was_sent(stock: Ready, owner: User) -> None:
    """6.00 instead of 8.50; 3.00 sent, so 2.00 is refused, and so is undoing a change down to less than was sent."""
    order = ordered(stock)
    said = {"wanted_on": date(2024, 9, 10), "reference": "Q-7"}
    change = change_order(by=owner, order=order, on=ORDERED, carriage=900, **said)
    packed(order, stock, 4)
    send(by=owner, order=order, on=SENT, carriage=875)
    with refused("carriage_sent"):
        change_order(by=owner, order=order, on=SENT, carriage=200, **said)
    with refused("carriage_sent"):
        undo_order_change(by=owner, change=change)
    with refused("unchanged"):
        change_order(by=owner, order=order, on=SENT, **said)

    fresh = Order.objects.as_said().get(pk=order.pk)
    assert (fresh.wanted_for, fresh.said.reference, fresh.said.carriage) == (date(2024, 9, 10), "Q-7", 900)
    assert (fresh.wanted_on, fresh.reference, fresh.carriage) == (None, "", 850)


def test_a_change_is_not_before_the_order_nor_wanted_before_it(stock: Ready, owner: User) -> None:
    """Days in order; an undone change leaves what was said before."""
    order = order_of(stock, 4)
    with refused("too_early"):
        change_order(by=owner, order=order, on=date(2024, 8, 31), reference="early")
    with refused("too_early"):
        change_order(by=owner, order=order, on=ORDERED, wanted_on=date(2024, 8, 31))
    change = change_order(by=owner, order=order, on=ORDERED, reference="late")
    undo_order_change(by=owner, change=change)
    assert Order.objects.get(pk=order.pk).said.reference == ""


def test_the_pages_and_papers_of_an_invoice_show_it(stock: Ready, owner: User, client_as) -> None:
    """Before it is issued, on it, on its paper and on its credit's; the dispatch's page names it too."""
    order, client = two_lines(stock, owner), client_as(owner)
    dispatch = send(by=owner, order=order, on=SENT)
    assert "Carriage" in read(client, reverse("sales:invoice_order", args=[order.pk]))
    issued = invoice(by=owner, order=order, on=BILLED)
    carried = lines_to_credit(issued).get(carriage_of__isnull=False)
    credited = credit(by=owner, invoice=issued, on=LATER, lines=[(carried, 1)], why="fetched after all")
    for paper in (issued, credited):
        assert "Carriage" in read(client, paper.get_absolute_url())
        assert client.get(reverse("sales:invoice_paper", args=[paper.pk])).status_code == 200
    assert "Carriage" in read(client, dispatch.get_absolute_url())
    assert client.get(reverse("sales:dispatch_note", args=[dispatch.pk])).status_code == 200


@pytest.mark.unproved
def test_the_proof_names_carriage_that_is_not_on_the_paper(stock: Ready, owner: User) -> None:
    """Another carriage on the dispatch than on its invoice, and one that went uninvoiced with lines that were."""
    order = two_lines(stock, owner)
    dispatch = send(by=owner, order=order, on=SENT)
    issued = invoice(by=owner, order=order, on=BILLED)
    assert list(paper_differences()) == []

    type(dispatch).objects.filter(pk=dispatch.pk).update(carriage=900)
    assert any("not the carriage that went" in said for said in paper_differences())
    issued.lines.filter(carriage_of__isnull=False).delete()
    assert any("is not on the paper" in said for said in paper_differences())


@pytest.mark.unproved
def test_the_proof_names_a_line_stood_in_for_beyond_what_is_asked(stock: Ready, owner: User) -> None:
    """Four open and stood in for; one fewer asked for is too many."""
    order = order_of(stock, 10, promised=6)
    stand_in(by=owner, order_line=order.lines.get(), on=ORDERED, line=ready(20).line, bunches=4)
    assert not [said for said in sold_differences() if "stood in for" in said]
    OrderLine.objects.filter(order=order, instead_of=None).update(asked=9)
    assert any("6 promised and 4 stood in for" in said for said in sold_differences())
