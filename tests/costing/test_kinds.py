"""Kinds of cost moved between bases, from a day on."""

from datetime import date

from django.urls import reverse
from django.utils import timezone

from ledger.books.queries.valuing import stock_value
from ledger.costing import actions
from ledger.costing.queries import Bases, cost_sheet, kinds_on
from ledger.facts.models import CostKind
from ledger.reckoning.sharing import MILLION
from tests.filling import fill
from tests.refusals import refused
from tests.thread import spin_thread

ON, FROM = date(2024, 12, 31), date(2024, 12, 1)


def plants():
    return CostKind.objects.get(code="plants")


def move(owner, **given):
    fixed = {"kind": plants(), "on": FROM, "in_stock": False, "in_shelf": True, "why": "written off at once"}
    return actions.move_kind(by=owner, **{**fixed, **given})


def test_a_kind_moved_out_of_stock_cost_lowers_the_stock_from_that_day(owner):
    """27 bunches carry 100.00 of seed and 24.00 of work: without the seed 24.00, and the day before still 124.00."""
    spin_thread(owner)
    move(owner)

    assert stock_value(ON).flows["closing_cost"] == 2400 * MILLION
    assert stock_value(date(2024, 11, 30)).flows["closing_cost"] == 12400 * MILLION


def test_the_latest_move_holds_and_undone_the_one_before(owner):
    """Moved out in December and in again in January: each day has its own answer."""
    move(owner)
    back = move(owner, on=date(2025, 1, 1), in_stock=True)
    element = ("growing", "plants")

    assert [Bases(on).in_stock(element) for on in (date(2024, 11, 30), ON, date(2025, 1, 1))] == [True, False, True]
    actions.undo_move_of_kind(by=owner, basis=back)
    assert not Bases(date(2025, 1, 1)).in_stock(element)


def test_a_move_and_a_plan_are_known_from_their_own_moment_on(owner):
    """A sheet as known before either was entered has the seed and no overheads: 124.00 / 27, cut by largest remainder."""
    thread, moment = spin_thread(owner), timezone.now()
    move(owner)
    actions.plan_overheads(by=owner, on=FROM, year=2024, overheads=1000, usual_idle_and_luck=0, usual_base=10_000)
    now, then = cost_sheet(thread.line, ON), cost_sheet(thread.line, ON, moment)

    assert (then.stock_cost, then.shelf_cost) == (459_259_258, 459_259_258)
    assert now.stock_cost < then.stock_cost < now.shelf_cost


def test_stock_cost_is_within_the_cost_to_the_shelf(owner):
    """Nothing can be in stock and not on the shelf."""
    with refused("stock_beyond_shelf"):
        move(owner, in_stock=True, in_shelf=False)


def test_the_bookkeeper_moves_a_kind_on_its_page(bookkeeper, owner, client_as):
    """The page offers each kind, says since when and why, and takes it back."""
    spin_thread(owner)
    client = client_as(bookkeeper)
    fill(client, reverse("costing:move_kind", args=[plants().pk]), on="2024-12-01", in_stock="", why="advice of the year end")
    page = client.get(reverse("costing:kinds"), {"on": "2024-12-31"}).content.decode()
    moved = next(one.moved for one in kinds_on(ON) if one.kind == plants())

    assert "advice of the year end" in page
    assert (moved.in_stock, moved.in_shelf) == (False, True)
    fill(client, reverse("costing:undo_move_of_kind", args=[moved.pk]))
    assert not any(one.moved for one in kinds_on(ON))


def test_those_who_sell_see_no_kinds_of_cost(seller, client_as):
    """A seller's role shows no costs."""
    assert client_as(seller).get(reverse("costing:kinds")).status_code == 403
