"""The pages of order terms, of what lacks and of changes: read, filled in, pressed; statements bounded."""

from datetime import date

from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from ledger.facts.models import User
from ledger.sales.actions import Asked, come_later, set_pack_rule, take_order
from ledger.sales.models import Order, OrderLine
from ledger.sales.queries.lacking import could_be_filled, what_could_fill
from tests.factories.drying import HangingFactory
from tests.factories.growing import LotFactory, PlantingFactory
from tests.factories.sales import ORDERED, CustomerFactory, Ready, line_of, order_of, packed, ready
from tests.factories.stock import BoxFactory, LineFactory, batch_of
from tests.filling import fill, read

ON = date(2024, 9, 2)


def short(stock: Ready, asked: int, promised: int) -> Order:
    """An order that lacks something, at 3.42."""
    return order_of(stock, asked, promised=promised)


def test_terms_are_set_read_and_undone_from_the_way(owner: User, client_as) -> None:
    """From the way's page to its terms; set, in sentences, undone again."""
    stock, client = ready(5), client_as(owner)
    page = reverse("sales:order_terms", args=[stock.way.pk])
    assert page in read(client, stock.way.get_absolute_url())

    fill(client, reverse("sales:set_order_terms", args=[stock.way.pk]), on="2024-05-01", least="20.00", carriage="8.50")
    fill(client, reverse("sales:set_pack_rule", args=[stock.way.pk]), on="2024-05-01", multiple="5")

    shown = read(client, page)
    assert "The least order is 20.00, net." in shown and "any line without a rule of its own" in shown
    fill(client, reverse("sales:undo_order_terms", args=[stock.way.order_terms.get().pk]))
    assert "no order is too small" in read(client, page)


def test_the_order_form_says_packs_and_refuses_unless_taken_all_the_same(owner: User, client_as) -> None:
    """In fives: seven is refused with what would do; ticked, it is taken with its carriage."""
    stock, client = ready(20), client_as(owner)
    set_pack_rule(by=owner, way=stock.way, on=date(2024, 5, 1), multiple=5)
    customer, page = CustomerFactory(trade=True), f"{reverse('sales:take_order')}?way={stock.way.pk}"
    assert "in multiples of 5" in read(client, page)
    typed = {
        "customer": customer.pk, "on": "2024-09-01", f"asked_{stock.line.pk}": "7", f"price_{stock.line.pk}": "3.42",
        "carriage": "4.00",
    }

    refused = fill(client, page, **typed)

    assert refused.status_code == 422 and "5 or 10 would do" in refused.content.decode()
    assert fill(client, page, **typed, all_the_same="on").status_code == 302
    assert Order.objects.get().carriage == 400


def test_a_season_can_be_asked_for_where_several_are_there(owner: User, client_as) -> None:
    """Eight of 2024 and five of 2025 there: the row asks, and only 2025's are promised."""
    stock, client = ready(8), client_as(owner)
    batch_of(stock.line, 5, on=date(2025, 2, 1), box=stock.box)
    page = f"{reverse('sales:take_order')}?way={stock.way.pk}"
    typed = {
        "customer": CustomerFactory(trade=True).pk, "on": "2025-03-01", f"asked_{stock.line.pk}": "6",
        f"price_{stock.line.pk}": "3.42", f"season_{stock.line.pk}": "2025",
    }
    assert "of season 2025 are free" in fill(client, page, **typed).content.decode()
    fill(client, page, **typed, **{f"promised_{stock.line.pk}": "5"})
    order = Order.objects.get()
    assert order.lines.get().hold.season == 2025
    assert "only of season 2025" in read(client, order.get_absolute_url())


def test_the_order_shows_what_could_fill_it(owner: User, client_as) -> None:
    """Eight lack: eight are free, another grade could stand in, and 100 stems hang of it."""
    stock = ready(20)
    other = LineFactory(variety=stock.line.variety, grade="seconds")
    batch_of(other, 3, box=BoxFactory())
    HangingFactory(lot=LotFactory(planting=PlantingFactory(variety=stock.line.variety)))
    order = short(stock, 20, 12)

    found = what_could_fill([OrderLine.objects.whole().with_standing().get(order=order)])[0]

    assert (found.lacking, found.free, found.now) == (8, 8, 8)
    assert [(one.line, one.bunches) for one in found.others] == [(other, 3)] and found.coming[0].where == "hanging"
    shown = read(client_as(owner), order.get_absolute_url())
    assert "Promise 8" in shown and "Put 3 in instead" in shown and "Hanging:" in shown and "Cancel 8" in shown


def test_the_one_press_forms_do_it(owner: User, client_as) -> None:
    """What the page's own form sends promises eight."""
    stock, client = ready(20), client_as(owner)
    order = short(stock, 20, 12)
    line = order.lines.get()
    client.post(reverse("sales:fill", args=[line.pk]), {"form_key": "one-press", "on": timezone.localdate().isoformat()})
    assert line_of(order).kept == 20


def test_the_statements_do_not_grow_with_the_lines(owner: User) -> None:
    """As many for three lines as for one; lines of which nothing is free are left out."""
    stocks = [ready(5), ready(5), ready(2)]
    counts = []
    for upto in (1, 3):
        lines = [Asked(stock.line, 9, 2, 342) for stock in stocks[:upto]]
        order = take_order(by=owner, on=ORDERED, customer=CustomerFactory(), way=stocks[0].way, lines=lines)
        with CaptureQueriesContext(connection) as asked:
            rows = what_could_fill(OrderLine.objects.whole().with_standing().filter(order=order))
            could = could_be_filled()
        counts.append(len(asked))
        assert len(rows) == upto
    assert counts[0] == counts[1]
    assert {one.order_line.line_id for one in could} == {stocks[0].line.pk, stocks[1].line.pk}


def test_later_is_shown_with_its_day_and_changes_with_their_undoing(owner: User, client_as) -> None:
    """Said to come later, wanted anew, more asked for: each with a link to undo it."""
    stock, client = ready(20), client_as(owner)
    order = short(stock, 20, 12)
    line = order.lines.get()
    later = come_later(by=owner, order_line=line, on=ON, bunches=4, hoped_for=date(2024, 10, 20))
    fill(client, reverse("sales:change_order", args=[order.pk]), on="2024-09-02", wanted_on="2024-10-09", reference="Q-7")
    fill(client, reverse("sales:ask_more", args=[line.pk]), on="2024-09-02", bunches="2")

    shown = read(client, order.get_absolute_url())

    said = ("4 of them are said to come later", "hoped for by", "Q-7", "+2 asked for")
    assert [words for words in said if words not in shown] == []
    assert reverse("sales:undo_later", args=[later.pk]) in shown
    assert Order.objects.as_said().get().wanted_for == date(2024, 10, 9)


def test_today_says_that_a_line_could_be_filled(owner: User, client_as) -> None:
    """One line lacks, and some is free."""
    short(ready(20), 20, 12)
    client = client_as(owner)
    assert "1 line of an order lacks some that is free now" in read(client, reverse("today"))
    assert "Promise 8" in read(client, reverse("sales:lacking"))


def test_a_hand_sees_no_carriage_when_sending(owner: User, hand: User, client_as) -> None:
    """The owner types it; a hand sends without seeing it, and it goes whole."""
    stock = ready(20)
    lines = [Asked(stock.line, 4, None, 342)]
    order = take_order(by=owner, on=ORDERED, customer=CustomerFactory(), way=stock.way, lines=lines, carriage=850)
    packed(order, stock, 4)
    page = reverse("sales:send", args=[order.pk])
    assert "Carriage that goes with it" in read(client_as(owner), page)
    client = client_as(hand)
    assert "Carriage" not in read(client, page)
    fill(client, page, on="2024-09-04")
    assert order.dispatches.get().carriage == 850
