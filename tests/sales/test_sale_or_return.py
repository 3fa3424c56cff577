"""Goods out on sale or return: on hand and kept until reported, sold, brought back, gone on from, undone."""

from datetime import date

import pytest
from django.core.exceptions import ValidationError

from ledger.books.queries.places import places_on
from ledger.sales import actions as sales
from ledger.sales.models import Dispatch, HandedOver, Order, OrderLine, Parcel
from ledger.sales.queries.income import income
from ledger.stock import actions as stock
from ledger.stock.models import Balance, Content
from tests.factories.pricing import TradeFactory
from tests.factories.sales import CustomerFactory, ready
from tests.thread import spin_thread

ASKED, OUT, SAID, LATER = date(2024, 9, 1), date(2024, 9, 2), date(2024, 9, 20), date(2024, 10, 4)


@pytest.fixture
def thread(owner):
    """27 bunches on hand in one box."""
    return spin_thread(owner)


@pytest.fixture
def out(owner, thread):
    """Twelve handed over at 5.00."""
    order = sales.take_order(
        by=owner, on=ASKED, customer=CustomerFactory(), way=TradeFactory(), lines=[sales.Asked(thread.line, 12, price=500)],
        sale_or_return=True,
    )
    sales.pack(by=owner, order_line=order.lines.get(), on=ASKED, batch=thread.batch, box=thread.box, bunches=12)
    return sales.hand_over(by=owner, order=order, on=OUT)


def said(thread, out, sold=0, back=0):
    """What is reported of the only batch."""
    return [sales.SaidOf(out.parcel.order.lines.get(), thread.batch, sold, back)]


def standing(thread, order):
    """On hand, held, free; promised still, packed, sent."""
    balance = Balance.objects.get(line=thread.line)
    line = OrderLine.objects.with_standing().get(order=order)
    return (balance.on_hand, balance.held, balance.free), (line.kept, line.packed, line.sent)


def code_of(verb, **given):
    """Why it was refused."""
    with pytest.raises(ValidationError) as error:
        verb(**given)
    placed = getattr(error.value, "error_dict", {None: error.value})
    return next(iter(ValidationError(list(placed.values())).error_list)).code


def test_handed_over_it_is_the_holdings_still(owner, thread, out):
    """Nothing is sold; all 27 are on hand, twelve of them kept; no income."""
    assert standing(thread, out.parcel.order) == ((27, 12, 15), (12, 12, 0))
    assert [line.net for line in income(None, LATER)] == []
    assert not Parcel.objects.fillable().filter(order=out.parcel.order).exists()


def test_reported_part_sold_part_back_the_rest_goes_on(owner, thread, out):
    """Seven sold for 35.00 on the day of the report, two back in the box and free, three still there."""
    order = out.parcel.order
    reported = sales.report(by=owner, handed_over=out, on=SAID, said=said(thread, out, 7, 2), box=thread.box)

    assert standing(thread, order) == ((20, 3, 17), (3, 3, 7))
    assert [(line.on, line.net) for line in income(None, LATER)] == [(SAID, 3500)]
    assert Content.objects.get(box=thread.box, batch=thread.batch).bunches == 17
    assert Content.objects.get(box=reported.goes_on_in.box).bunches == 3
    line = OrderLine.objects.with_standing().get(order=order)
    assert (line.wanted, line.lacking) == (10, 0)
    (change,) = line.asked_changes.all()
    assert code_of(sales.undo_asked_change, by=owner, change=change) == "part_of_more"
    onward = HandedOver.objects.get(parcel=reported.goes_on_in)
    sales.report(by=owner, handed_over=onward, on=LATER, said=said(thread, onward, 0, 3))
    assert standing(thread, order) == ((20, 0, 20), (0, 0, 7))


def test_what_was_sold_is_invoiced_as_any_dispatch(owner, thread, out):
    """Seven at 5.00: 35.00; the report can then not be undone."""
    reported = sales.report(by=owner, handed_over=out, on=SAID, said=said(thread, out, 7))
    invoice = sales.invoice(by=owner, order=out.parcel.order, on=SAID)

    assert invoice.net == 3500
    assert code_of(sales.undo_report, by=owner, reported=reported) == "invoiced"


def test_its_carriage_goes_with_the_first_that_is_sold(owner, thread):
    """4.00 of carriage with the first report that sold something, none with the next."""
    order = sales.take_order(
        by=owner, on=ASKED, customer=CustomerFactory(), way=TradeFactory(), lines=[sales.Asked(thread.line, 3, price=500)],
        sale_or_return=True, carriage=400,
    )
    sales.pack(by=owner, order_line=order.lines.get(), on=ASKED, batch=thread.batch, box=thread.box, bunches=3)
    out = sales.hand_over(by=owner, order=order, on=OUT)
    first = sales.report(by=owner, handed_over=out, on=SAID, said=said(thread, out, 1))
    onward = HandedOver.objects.get(parcel=first.goes_on_in)
    second = sales.report(by=owner, handed_over=onward, on=LATER, said=said(thread, onward, 2))

    assert (first.dispatch.carriage, second.dispatch.carriage) == (400, 0)
    assert [line.net for line in income(None, LATER)] == [900, 1000]


def test_what_is_back_of_a_promise_left_short_is_owed_no_more(owner, thread, out):
    """The other fifteen are promised a day earlier and ten of them eaten: ten of the latest twelve are short, though out.

    All twelve come back: two are given back, ten are owed no more, and the other promise can be filled again.
    """
    order = out.parcel.order
    first = stock.hold(by=owner, on=date(2024, 8, 31), line=thread.line, bunches=15, for_what="an earlier promise")
    stock.write_off(by=owner, on=OUT, batch=thread.batch, box=thread.box, bunches=10, reason="mice")
    line = OrderLine.objects.with_standing().get(order=order)
    assert (line.kept, line.short, line.packed) == (2, 10, 12)

    reported = sales.report(by=owner, handed_over=out, on=SAID, said=said(thread, out, 0, 12), box=thread.box)

    line = OrderLine.objects.with_standing().get(order=order)
    assert (line.wanted, line.kept, line.short, line.lacking) == (0, 0, 0, 0)
    assert Balance.objects.get(line=thread.line).held == 15 and first.stands
    sales.undo_report(by=owner, reported=reported)
    line = OrderLine.objects.with_standing().get(order=order)
    assert (line.wanted, line.kept, line.lacking) == (12, 2, 10)


def test_a_report_undone_leaves_all_as_it_was(owner, thread, out):
    """Its dispatch, what came back and what went on are undone together; the later report first."""
    before = standing(thread, out.parcel.order)
    reported = sales.report(by=owner, handed_over=out, on=SAID, said=said(thread, out, 7, 2), box=thread.box)
    onward = HandedOver.objects.standing().get(parcel=reported.goes_on_in)
    later = sales.report(by=owner, handed_over=onward, on=LATER, said=said(thread, onward, 1, 2))

    assert code_of(sales.undo_report, by=owner, reported=reported) == "rested_on"
    assert code_of(sales.undo_dispatch, by=owner, dispatch=reported.dispatch) == "part_of_more"
    assert code_of(sales.undo_hand_over, by=owner, handed_over=onward) == "rested_on"
    sales.undo_report(by=owner, reported=later)
    assert code_of(sales.undo_hand_over, by=owner, handed_over=onward) == "part_of_more"
    sales.undo_report(by=owner, reported=reported)
    assert standing(thread, out.parcel.order) == before
    assert not Dispatch.objects.standing().exists()
    sales.undo_hand_over(by=owner, handed_over=out)
    assert Parcel.objects.fillable().filter(order=out.parcel.order).exists()


def test_a_stand_in_brought_back_is_owed_no_more_in_either_line(owner, thread):
    """Twelve asked for, five of them stood in for by another line; three of those come back: nine are wanted, none lacks.

    Undone, all twelve are wanted again, and the customer has the five.
    """
    other = ready(8)
    order = sales.take_order(
        by=owner, on=ASKED, customer=CustomerFactory(), way=TradeFactory(),
        lines=[sales.Asked(thread.line, 12, promised=7, price=500)], sale_or_return=True,
    )
    instead = sales.stand_in(by=owner, order_line=order.lines.get(), on=ASKED, line=other.line, bunches=5)
    sales.pack(by=owner, order_line=instead, on=ASKED, batch=other.batch, box=other.box, bunches=5)
    handed_over = sales.hand_over(by=owner, order=order, on=OUT)
    back = [sales.SaidOf(instead, other.batch, 2, 3)]
    reported = sales.report(by=owner, handed_over=handed_over, on=SAID, said=back, box=other.box)

    def lines():
        return [(one.wanted, one.stood_in, one.lacking) for one in OrderLine.objects.with_standing().filter(order=order)]

    assert lines() == [(9, 2, 0), (2, 0, 0)]
    assert Order.objects.with_standing().get(pk=order.pk).asked == 9
    sales.undo_report(by=owner, reported=reported)
    assert lines() == [(12, 5, 0), (5, 0, 0)]
    assert Order.objects.with_standing().get(pk=order.pk).asked == 12


@pytest.mark.parametrize(
    ("sold", "back", "on", "why"),
    [(0, 0, SAID, "nothing_said"), (13, 0, SAID, "too_many"), (7, 6, SAID, "too_many"), (-1, 2, SAID, "too_many"),
     (1, 0, ASKED, "too_early")],
)
def test_reports_that_cannot_be(owner, thread, out, sold, back, on, why):
    """Nothing, more than was handed over, less than nothing, before it was handed over."""
    assert code_of(sales.report, by=owner, handed_over=out, on=on, said=said(thread, out, sold, back)) == why


def test_other_refusals(owner, thread, out):
    """Sent outright, reported twice, back into a parcel, a batch twice, unpacked, handed over with nothing packed."""
    order = out.parcel.order
    twice = said(thread, out, 1) * 2
    assert code_of(sales.send, by=owner, order=order, on=SAID) == "sale_or_return"
    assert code_of(sales.report, by=owner, handed_over=out, on=SAID, said=twice) == "twice"
    assert code_of(sales.report, by=owner, handed_over=out, on=SAID, said=said(thread, out, 1), box=out.parcel.box) == "parcel"
    assert code_of(sales.unpack, by=owner, packing=order.lines.get().packings.get()) == "rested_on"
    assert code_of(sales.hand_over, by=owner, order=order, on=SAID) == "nothing_packed"
    sales.report(by=owner, handed_over=out, on=SAID, said=said(thread, out, 12))
    assert code_of(sales.report, by=owner, handed_over=out, on=SAID, said=said(thread, out, 1)) == "reported"
    plain = sales.take_order(
        by=owner, on=ASKED, customer=order.customer, way=order.way, lines=[sales.Asked(thread.line, 1, price=500)]
    )
    assert code_of(sales.hand_over, by=owner, order=plain, on=SAID) == "sold_outright"
    sales.pack(by=owner, order_line=plain.lines.get(), on=OUT, batch=thread.batch, box=thread.box, bunches=1)


def test_it_cannot_be_handed_over_before_it_was_packed(owner, thread):
    """Packed on the second, not handed over on the first."""
    order = sales.take_order(
        by=owner, on=ASKED, customer=CustomerFactory(), way=TradeFactory(), lines=[sales.Asked(thread.line, 2, price=500)],
        sale_or_return=True,
    )
    sales.pack(by=owner, order_line=order.lines.get(), on=OUT, batch=thread.batch, box=thread.box, bunches=2)

    assert code_of(sales.hand_over, by=owner, order=order, on=ASKED) == "too_early"


def test_it_stands_apart_among_the_places(owner, thread, out):
    """Twelve of 27 bunches carry 12/27 of what is boxed while they are out; nothing before and nothing after."""
    sales.report(by=owner, handed_over=out, on=SAID, said=said(thread, out, 12))
    before, during, after = places_on(ASKED), places_on(OUT), places_on(SAID)

    boxed = before["boxed"].paid
    assert "out on sale or return" not in before and "out on sale or return" not in after
    assert during["out on sale or return"].paid == (boxed * 12 * 2 + 27) // (27 * 2)
    assert during["boxed"].paid + during["out on sale or return"].paid == boxed
