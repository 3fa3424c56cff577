"""Damaged bunches sold as seconds, in one step and one undo."""

from datetime import date

import pytest
from django.core.exceptions import PermissionDenied
from django.urls import reverse

from ledger.facts.models import User
from ledger.pricing.actions import set_price
from ledger.sales.actions import (
    BackBox,
    BackBunches,
    bring_back,
    load_boxes,
    sell_as_seconds,
    undo_bring_back,
    undo_sale,
)
from ledger.sales.models import Sale
from ledger.stock.actions import draw, hold, undo_run
from ledger.stock.models import Line, Movement
from tests.factories.sales import StallDayFactory, ready
from tests.factories.stock import BoxFactory, batch_of, there
from tests.refusals import refused

ON = date(2024, 9, 7)


def test_damaged_bunches_become_seconds_and_are_sold(owner: User) -> None:
    """Two of five leave the firsts; the line of seconds is added, alike but for the grade, and none of it is left."""
    stock, day = ready(5), StallDayFactory()

    sale = sell_as_seconds(by=owner, on=ON, way=day.way, line=stock.line, bunches=2, price=200, stall_day=day)

    sold = sale.lines.get()
    assert (sold.quantity, sold.price, sold.line.grade, sold.line.stems) == (2, 200, "seconds", 10)
    assert sold.line.variety == stock.line.variety
    assert there(stock.batch, sale.rework.batches.get()) == [(stock.box.code, 3)]


def test_seconds_there_already_are_the_same_line(owner: User) -> None:
    """Sold twice, the line is added once; without a price its list counts."""
    stock, day = ready(5), StallDayFactory()
    first = sell_as_seconds(by=owner, on=ON, way=day.way, line=stock.line, bunches=1, price=200, stall_day=day)
    seconds = first.lines.get().line
    set_price(by=owner, way=day.way, line=seconds, on=ON, amount=250)

    second = sell_as_seconds(by=owner, on=ON, way=day.way, line=stock.line, bunches=1, stall_day=day)
    cheaper = sell_as_seconds(by=owner, on=ON, way=day.way, line=stock.line, bunches=1, price=100, stall_day=day)

    assert (second.lines.get().line, second.lines.get().price, second.lines.get().why) == (seconds, 250, "")
    assert cheaper.lines.get().why == "damaged"
    assert Line.objects.filter(grade="seconds").count() == 1


def test_the_stalls_own_boxes_give_first(owner: User) -> None:
    """The younger bunches at the stall are the damaged ones, not the older ones at home."""
    stock, day, along = ready(5), StallDayFactory(), BoxFactory(shelf="B2")
    young = batch_of(stock.line, 4, on=date(2024, 8, 20), box=along)
    load_boxes(by=owner, stall_day=day, boxes=[along])
    sell_as_seconds(by=owner, on=ON, way=day.way, line=stock.line, bunches=2, price=200, stall_day=day)
    assert there(stock.batch, young) == [(stock.box.code, 5), (along.code, 2)]


def test_bunches_of_two_boxes_are_put_down_together(owner: User) -> None:
    """Three of four lie in two boxes; all three are sold."""
    stock, other = ready(2), BoxFactory(shelf="B2")
    batch_of(stock.line, 2, on=date(2024, 8, 20), box=other)
    day = StallDayFactory()
    sale = sell_as_seconds(by=owner, on=ON, way=day.way, line=stock.line, bunches=3, price=200)
    assert sum(taking.movement.used for taking in sale.takings.all()) == 3


def test_undoing_the_sale_undoes_the_rework(owner: User) -> None:
    """The bunches are firsts again where they lay; the run alone cannot be undone."""
    stock, day = ready(5), StallDayFactory()
    sale = sell_as_seconds(by=owner, on=ON, way=day.way, line=stock.line, bunches=2, price=200, stall_day=day)
    with refused("rested_on"):
        undo_run(by=owner, run=sale.rework)

    undo_sale(by=owner, sale=sale)

    sale.rework.refresh_from_db()
    assert not sale.rework.stands and there(stock.batch) == [(stock.box.code, 5)]
    assert not Movement.objects.standing().filter(kind__in=["sold", "made_up"]).exists()
    with refused("already_undone"):
        undo_sale(by=owner, sale=sale)


def test_what_is_promised_or_not_there_is_refused(owner: User) -> None:
    """Four of five promised: two cannot go; nor what was never firsts, nor none at all, nor without any price."""
    stock, day = ready(5), StallDayFactory()
    hold(by=owner, on=date(2024, 9, 1), line=stock.line, bunches=4, for_what="a wedding")
    given = {"by": owner, "on": ON, "way": day.way, "line": stock.line, "stall_day": day}
    with refused("not_free"):
        sell_as_seconds(**given, bunches=2, price=200)
    with refused("no_price"):
        sell_as_seconds(**given, bunches=1)
    with refused("absurd"):
        sell_as_seconds(**given, bunches=0, price=200)
    sold = sell_as_seconds(**given, bunches=1, price=200)
    with refused("no_firsts"):
        sell_as_seconds(**{**given, "line": sold.lines.get().line}, bunches=1, price=200)
    assert Line.objects.filter(grade="seconds").count() == 1


def test_it_happened_though_they_were_promised(owner: User) -> None:
    """Four of five promised, two damaged and sold: the promise is one short, and kept again when the sale is undone."""
    stock, day = ready(5), StallDayFactory()
    kept = hold(by=owner, on=date(2024, 9, 1), line=stock.line, bunches=4, for_what="a wedding")

    sale = sell_as_seconds(
        by=owner, on=ON, way=day.way, line=stock.line, bunches=2, price=200, stall_day=day, beyond_record=True,
    )

    assert there(stock.batch) == [(stock.box.code, 3)] and kept.changes.get(why="short").bunches == -1
    assert not Movement.objects.filter(kind="found")
    undo_sale(by=owner, sale=sale)
    assert there(stock.batch) == [(stock.box.code, 5)] and not kept.changes.standing().filter(why="short")


def test_what_the_record_lacks_is_found_first_and_to_be_checked(owner: User) -> None:
    """Five by the record, seven sold as seconds: two are found where the others lay; undone, five are there."""
    stock, day = ready(5), StallDayFactory()

    sale = sell_as_seconds(
        by=owner, on=ON, way=day.way, line=stock.line, bunches=7, price=200, stall_day=day, beyond_record=True,
    )

    found = Movement.objects.get(kind="found")
    assert (found.bunches, found.to_check, found.box, found.on) == (2, True, stock.box, ON)
    assert sum(taking.movement.used for taking in sale.takings.all()) == 7 and there(stock.batch) == []
    undo_sale(by=owner, sale=sale)
    assert there(stock.batch) == [(stock.box.code, 5)]
    assert not Movement.objects.standing().filter(kind__in=["found", "sold", "made_up"])


def test_none_at_all_by_the_record_can_be_sold_too(owner: User) -> None:
    """All five were drawn; one more is found, of the latest batch, not boxed."""
    stock, day = ready(5), StallDayFactory()
    draw(by=owner, on=date(2024, 9, 1), batch=stock.batch, box=stock.box, bunches=5, reason="display")
    given = {"by": owner, "on": ON, "way": day.way, "line": stock.line, "bunches": 1, "price": 200}
    with refused("not_free"):
        sell_as_seconds(**given)
    sale = sell_as_seconds(**given, beyond_record=True)
    assert (Movement.objects.get(kind="found").box, there(stock.batch)) == (None, [])
    undo_sale(by=owner, sale=sale)
    assert there(stock.batch) == []


def test_entered_after_it_was_put_away_they_are_what_was_missing(owner: User) -> None:
    """Ten went along, seven came back: two of the three were sold as seconds, and two more, one of the seven; each is undone."""
    stock, day = ready(10), StallDayFactory()
    load_boxes(by=owner, stall_day=day, boxes=[stock.box])
    back = bring_back(by=owner, on=ON, stall_day=day, boxes=[BackBox(stock.box, [BackBunches(stock.batch, 7)])])
    given = {"by": owner, "on": ON, "way": day.way, "line": stock.line, "price": 200, "stall_day": day, "beyond_record": True}

    two = sell_as_seconds(**given, bunches=2)
    assert there(stock.batch) == [(stock.box.code, 7)] and not Movement.objects.still_to_check()
    more = sell_as_seconds(**given, bunches=2)
    assert there(stock.batch) == [(stock.box.code, 6)]

    undo_sale(by=owner, sale=more)
    assert there(stock.batch) == [(stock.box.code, 7)]
    undo_bring_back(by=owner, stall_back=back)
    assert there(stock.batch) == [(stock.box.code, 8)]
    undo_sale(by=owner, sale=two)
    assert there(stock.batch) == [(stock.box.code, 10)]


def test_a_line_sold_out_at_the_stall_is_offered_still(owner: User, client_as) -> None:
    """The record says none is left of what stood at the stall; the damaged one is sold all the same."""
    client, stock, day = client_as(owner), ready(5), StallDayFactory()
    load_boxes(by=owner, stall_day=day, boxes=[stock.box])
    sell_as_seconds(by=owner, on=ON, way=day.way, line=stock.line, bunches=5, price=200, stall_day=day)
    page = f"{reverse('sales:sell_as_seconds')}?stall_day={day.pk}"
    assert client.get(page).context["form"]["beyond_record"].value() is True
    sent = {"form_key": "k", "on": "2024-09-07", "line": stock.line.pk, "bunches": 1, "price": "2.00", "paid": "cash"}
    assert client.post(page, sent).context["form"].has_error("bunches", "not_free")
    assert client.post(page, {**sent, "beyond_record": "on"}).status_code == 302
    assert Sale.objects.count() == 2


def test_not_there_on_that_day_is_refused(owner: User) -> None:
    """Bunched in August, it was not there in July."""
    stock, day = ready(5), StallDayFactory(on=date(2024, 7, 6))
    with refused("not_free"):
        sell_as_seconds(by=owner, on=day.on, way=day.way, line=stock.line, bunches=1, price=100, stall_day=day)


def test_who_may_not(hand: User) -> None:
    """A hand sells nothing."""
    stock, day = ready(5), StallDayFactory()
    with pytest.raises(PermissionDenied):
        sell_as_seconds(by=hand, on=ON, way=day.way, line=stock.line, bunches=1, price=100)


def test_sold_on_the_page_twice_pressed(owner: User, client_as) -> None:
    """One sale, at the stall and paid by card; its page names the rework."""
    client, stock, day = client_as(owner), ready(5), StallDayFactory()
    page = f"{reverse('sales:sell_as_seconds')}?stall_day={day.pk}"
    assert client.get(page).context["form"]["on"].value() == ON
    sent = {"form_key": "k", "on": "2024-09-07", "line": stock.line.pk, "bunches": 5, "price": "2.00", "paid": "card"}
    answers = [client.post(page, sent)["Location"] for _press in range(2)]
    sale = Sale.objects.get()
    assert answers == [sale.get_absolute_url()] * 2 and (sale.stall_day, sale.paid) == (day, "card")
    assert sale.rework.get_absolute_url() in client.get(sale.get_absolute_url()).content.decode()


def test_away_from_a_stall_the_first_way_sells(owner: User, client_as) -> None:
    """Any way by retail may be named; without any there is no such page."""
    client = client_as(owner)
    page = reverse("sales:sell_as_seconds")
    assert client.get(page).status_code == 404
    day, stock = StallDayFactory(), ready(5)
    sent = {"form_key": "k", "on": "2024-09-07", "line": stock.line.pk, "bunches": 1, "price": "2.00", "paid": "cash"}
    client.post(f"{page}?way={day.way_id}", sent)
    assert (Sale.objects.get().way, Sale.objects.get().stall_day) == (day.way, None)
