"""All that is left of an order cancelled at once."""

from datetime import date

from django.urls import reverse

from ledger.facts.models import User
from ledger.sales.actions import Asked, cancel_order, pack, stand_in, take_order, undo_asked_change
from ledger.sales.models import AskedChange, Order, OrderLine
from ledger.stock.models import Balance
from tests.factories.sales import ORDERED, CustomerFactory, Ready, order_of, ready, sent
from tests.filling import fill, read
from tests.refusals import refused

NEXT = date(2024, 9, 2)


def stands(order: Order) -> list[tuple[int, int, int]]:
    """(wanted, kept, lacking) of each line of an order."""
    return list(OrderLine.objects.with_standing().filter(order=order).order_by("pk").values_list("wanted", "kept", "lacking"))


def free(stock: Ready) -> int:
    """How many of its line no promise keeps."""
    return Balance.objects.get(line=stock.line).free


def test_everything_neither_packed_nor_sent_is_cancelled(owner: User, client_as) -> None:
    """Ten asked, eight promised, three packed: three are wanted still, five are free again. Of the second line nothing is."""
    stock, other = ready(20), ready(5)
    lines = [Asked(stock.line, 10, 8, 342), Asked(other.line, 5, 5, 342)]
    order = take_order(by=owner, on=ORDERED, customer=CustomerFactory(), way=stock.way, lines=lines)
    packed_line = order.lines.get(line=stock.line)
    pack(by=owner, order_line=packed_line, on=date(2024, 9, 3), batch=stock.batch, box=stock.box, bunches=3)
    client, page = client_as(owner), reverse("sales:cancel_order", args=[order.pk])
    assert page in read(client, order.get_absolute_url())

    fill(client, page, on="2024-09-03")

    assert stands(order) == [(3, 3, 0), (0, 0, 0)]
    assert (free(stock), free(other)) == (17, 5)
    assert page not in read(client, order.get_absolute_url())


def test_what_stood_in_is_cancelled_with_what_it_stood_in_for(owner: User) -> None:
    """Ten asked, six promised, four stood in for: nothing is wanted, all is free. Undone, the last first, all is as before."""
    stock, other = ready(6), ready(9)
    order = order_of(stock, 10, promised=6)
    stand_in(by=owner, order_line=order.lines.get(), on=NEXT, line=other.line, bunches=4)
    before = stands(order)

    cancel_order(by=owner, order=order, on=NEXT)

    assert stands(order) == [(0, 0, 0), (0, 0, 0)] and (free(stock), free(other)) == (6, 9)
    changes = list(AskedChange.objects.standing().order_by("-pk"))
    with refused("rested_on"):
        undo_asked_change(by=owner, change=changes[-1])
    for change in changes:
        undo_asked_change(by=owner, change=change)
    assert stands(order) == before


def test_nothing_is_left_to_cancel_of_what_was_sent(owner: User) -> None:
    """All five went."""
    stock = ready(5)
    order = order_of(stock, 5)
    sent(order, stock, 5)
    with refused("nothing_left"):
        cancel_order(by=owner, order=order, on=date(2024, 9, 5))


def test_not_before_it_was_ordered(owner: User) -> None:
    """The day before."""
    with refused("too_early"):
        cancel_order(by=owner, order=order_of(ready(5), 5), on=date(2024, 8, 31))


def test_the_second_press_counts_once(owner: User) -> None:
    """The same key: one change, not a refusal."""
    order = order_of(ready(5), 5)
    for _press in range(2):
        cancel_order(by=owner, key="once", order=order, on=NEXT)
    assert AskedChange.objects.count() == 1
