"""What the page of an order says: what it comes to, its carriage, what of a short line may be filled otherwise, and by what."""

from datetime import date

from django.urls import reverse

from ledger.facts.models import User
from ledger.sales.actions import (
    Asked,
    ask_more,
    cancel,
    change_order,
    come_later,
    invoice,
    promise_more,
    set_order_terms,
    take_order,
    undo_order,
)
from ledger.sales.models import Order, OrderLine
from ledger.sales.queries.carriage import carriage_of, net_of
from ledger.sales.queries.lacking import what_could_fill
from ledger.stock.actions import write_off
from tests.factories.drying import HangingFactory
from tests.factories.growing import LotFactory, PlantingFactory
from tests.factories.pricing import PriceFactory
from tests.factories.sales import ORDERED, CustomerFactory, line_of, order_of, ready, sent
from tests.factories.stock import BoxFactory, LineFactory, batch_of
from tests.filling import read
from tests.refusals import refused

NEXT = date(2024, 9, 2)


def by_terms(owner: User, asked: int, **given: object) -> Order:
    """An order of so many at 3.42, where carriage of 8.50 is asked below 250.00."""
    stock = ready(100)
    set_order_terms(by=owner, way=stock.way, on=date(2024, 5, 1), carriage=850, free_from=25000)
    lines = [Asked(stock.line, asked, None, 342)]
    return take_order(by=owner, on=ORDERED, customer=CustomerFactory(), way=stock.way, lines=lines, **given)


def lines_of(order: Order) -> list[OrderLine]:
    """Its lines as they stand now."""
    return list(OrderLine.objects.whole().with_standing().filter(order=order))


def usual(order: Order) -> int | None:
    """What carriage is said to be usual now."""
    return carriage_of(Order.objects.get(pk=order.pk), lines_of(order)).usual


def test_the_page_says_what_is_wanted_comes_to_and_what_is_promised(owner: User, client_as) -> None:
    """Twenty at 3.42 are 68.40, twelve promised 41.04; three stood in for at the same price change no sum wanted."""
    stock = ready(20)
    order = order_of(stock, 20, promised=12)
    assert (net_of(lines_of(order)).wanted, net_of(lines_of(order)).promised) == (6840, 4104)
    shown = read(client_as(owner), order.get_absolute_url())
    assert "68.40" in shown and "of it promised or sent 41.04" in shown


def test_a_hand_sees_how_it_stands_and_no_sum(hand: User, client_as) -> None:
    """What is packed and sent, neither prices nor carriage nor offers."""
    shown = read(client_as(hand), order_of(ready(20), 20, promised=12).get_absolute_url())
    assert "To pack" in shown and "Lacks" in shown
    assert [words for words in ("What is wanted, net", "Carriage, net", "3.42", "Cancel") if words in shown] == []


def test_carriage_is_shown_also_where_there_is_none(owner: User, client_as) -> None:
    """80 at 3.42 are 273.60: none, free from 250.00 on."""
    shown = read(client_as(owner), by_terms(owner, 80).get_absolute_url())
    assert "none, free from 250.00 on" in shown and "is usual" not in shown
    assert "none" in read(client_as(owner), order_of(ready(20)).get_absolute_url())


def test_an_order_cut_below_the_limit_says_what_carriage_is_usual(owner: User, client_as) -> None:
    """273.60 free of carriage, ten cancelled: 239.40. The order and the page of sending say so until it is changed."""
    order, client = by_terms(owner, 80), client_as(owner)
    cancel(by=owner, order_line=order.lines.get(), on=NEXT, bunches=10)

    for page in (order.get_absolute_url(), reverse("sales:send", args=[order.pk])):
        shown = read(client, page)
        assert "Below 250.00 carriage of 8.50 is usual:" in shown
        assert reverse("sales:change_order", args=[order.pk]) in shown

    change_order(by=owner, order=order, on=NEXT, carriage=850)
    assert "is usual" not in read(client, order.get_absolute_url())


def test_an_order_grown_to_the_limit_says_that_it_is_usually_free(owner: User, client_as) -> None:
    """70 at 3.42 with 8.50 of carriage; ten more bring it to 273.60."""
    order = by_terms(owner, 70)
    assert (order.carriage, usual(order)) == (850, None)
    ask_more(by=owner, order_line=order.lines.get(), on=NEXT, bunches=10)
    assert usual(order) == 0
    assert "From 250.00 on it is usually free of carriage:" in read(client_as(owner), order.get_absolute_url())


def test_carriage_agreed_otherwise_and_what_is_all_billed_are_left_alone(owner: User) -> None:
    """Taken without carriage all the same; cut to nothing; and all sent and invoiced: nothing is said."""
    agreed = by_terms(owner, 70, carriage=0)
    cancel(by=owner, order_line=agreed.lines.get(), on=NEXT, bunches=5)
    assert usual(agreed) is None
    gone = by_terms(owner, 80)
    cancel(by=owner, order_line=gone.lines.get(), on=NEXT, bunches=80)
    assert usual(gone) is None


def test_what_is_said_to_come_later_is_not_offered_to_be_filled_otherwise(owner: User, client_as) -> None:
    """Six lack and three of them come later: three may be put in instead, or cancelled."""
    stock = ready(4)
    other = LineFactory(variety=stock.line.variety, grade="seconds")
    batch_of(other, 9, box=BoxFactory())
    order, client = order_of(stock, 10, promised=4), client_as(owner)
    line = order.lines.get()
    come_later(by=owner, order_line=line, on=NEXT, bunches=3)

    shown = read(client, order.get_absolute_url())

    said = ("6 lack.", "3 of them are said to come later", "Put 3 in instead at 3.42", "Cancel 3")
    assert [words for words in said if words not in shown] == []
    assert "Cancel 6" not in shown and "Note " not in shown.split("How it stands")[1].split("Hours noted")[0]
    for page in ("stand_in", "cancel"):
        assert 'name="bunches" value="3"' in client.get(reverse(f"sales:{page}", args=[line.pk])).content.decode()


def test_a_press_for_what_lacks_takes_nothing_promised(owner: User, client_as) -> None:
    """Pressed on a page opened before six of the ten were promised it is refused; said in words, the promised ones go."""
    order, client = order_of(ready(8), 10, promised=0), client_as(owner)
    line = order.lines.get()
    address, pressed = reverse("sales:cancel", args=[line.pk]), {"bunches": 10, "only_lacking": "on", "on": NEXT.isoformat()}
    page = client.get(order.get_absolute_url()).content.decode()
    assert 'name="bunches" value="10"><input type="hidden" name="only_lacking" value="on">' in page
    promise_more(by=owner, order_line=line, on=NEXT, bunches=6)

    refused_page = client.post(address, {**pressed, "form_key": "one"})
    assert refused_page.status_code == 422
    assert refused_page.context["form"].errors["bunches"][0].startswith("Only 4 lack now")
    assert client.post(address, {**pressed, "bunches": 4, "form_key": "two"}).status_code == 302
    assert client.post(address, {"bunches": 6, "on": NEXT.isoformat(), "form_key": "three"}).status_code == 302
    left = line_of(order)
    assert (left.wanted, left.kept) == (0, 0)


def test_no_more_is_noted_to_come_than_is_to_be_made(owner: User) -> None:
    """Fifteen lack and four are free; 100 stems hang, ten to a bunch: ten to come, not eleven."""
    stock = ready(8)
    HangingFactory(lot=LotFactory(planting=PlantingFactory(variety=stock.line.variety)))
    found = what_could_fill(lines_of(order_of(stock, 19, promised=4)))[0]
    assert (found.lacking, found.now, found.coming[0].bunches, found.to_note) == (15, 4, 10, 10)


def test_a_stand_in_says_what_it_is_charged_and_what_the_list_says(owner: User, client_as) -> None:
    """At 3.42 as what was asked for; its own list price is 2.00. Where that is the same nothing more is said."""
    stock = ready(4)
    for grade, amount in (("seconds", 200), ("oddments", 342)):
        other = LineFactory(variety=stock.line.variety, grade=grade)
        batch_of(other, 9, box=BoxFactory())
        PriceFactory(line=other, way=stock.way, on=date(2024, 5, 1), amount=amount)
    order = order_of(stock, 10, promised=4)
    assert [other.listed for other in what_could_fill(lines_of(order))[0].others] == [200, None]
    shown = read(client_as(owner), order.get_absolute_url())
    assert shown.count("Put 6 in instead at 3.42") >= 2 and shown.count("By the list: 2.00") == 1


def test_a_short_promise_leads_to_what_could_fill_it(owner: User, client_as) -> None:
    """From the list of promises and from the promise itself to the order."""
    stock, client = ready(10), client_as(owner)
    order = order_of(stock, 10)
    write_off(by=owner, on=NEXT, batch=stock.batch, box=stock.box, bunches=3, reason="mould")
    assert order.get_absolute_url() in read(client, f"{reverse('stock:holds')}?state=short")
    shown = read(client, order.lines.get().hold.get_absolute_url())
    assert "What could fill it" in shown and "Fill again what is short" in shown


def test_an_order_left_short_says_so_when_it_cannot_be_undone(owner: User) -> None:
    """Three of ten were written off."""
    stock = ready(10)
    order = order_of(stock, 10)
    write_off(by=owner, on=NEXT, batch=stock.batch, box=stock.box, bunches=3, reason="mould")
    with refused("rested_on") as caught:
        undo_order(by=owner, order=order)
    assert f"Some of {stock.line} was left short." in caught.value.messages[0]


def test_undoing_is_offered_while_nothing_rests_on_the_order(owner: User, client_as) -> None:
    """Until some is cancelled."""
    order, client = order_of(ready(10), 10), client_as(owner)
    page = reverse("sales:undo_order", args=[order.pk])
    assert page in read(client, order.get_absolute_url())
    cancel(by=owner, order_line=order.lines.get(), on=NEXT, bunches=2)
    assert page not in read(client, order.get_absolute_url())


def test_a_dispatch_on_an_invoice_offers_no_undoing(owner: User, client_as) -> None:
    """It is offered until it is invoiced."""
    stock, client = ready(20), client_as(owner)
    order = order_of(stock, 5)
    dispatch = sent(order, stock, 5)
    undo = reverse("sales:undo_dispatch", args=[dispatch.pk])
    assert undo in read(client, dispatch.get_absolute_url())
    invoice(by=owner, order=order, on=date(2024, 9, 5))
    assert undo not in read(client, dispatch.get_absolute_url())
