"""What came back from a stall day, put away in one step and undone in one."""

from dataclasses import dataclass
from datetime import date

import pytest
from django.core.exceptions import PermissionDenied
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from ledger.drying.actions import take_down
from ledger.drying.models import Hanging, Place
from ledger.facts.models import User
from ledger.growing.models import Lot, Parting
from ledger.growing.queries import stems_left_ever
from ledger.sales.actions import (
    BackBox,
    BackBunches,
    BackStems,
    Sold,
    bring_back,
    load_boxes,
    sell,
    undo_bring_back,
    undo_load,
    undo_stall_day,
)
from ledger.sales.models import StallBack, StallBackRow, StallDay
from ledger.stock.actions import draw, hold, move, move_box, undo_count
from ledger.stock.models import Movement
from tests.factories.drying import PlaceFactory
from tests.factories.growing import LotFactory
from tests.factories.sales import Ready, StallDayFactory, ready
from tests.factories.stock import BoxFactory, batch_of, there
from tests.refusals import refused

ON = date(2024, 9, 7)


@dataclass
class Market:
    """A market with a box of ten of which three were sold, and a lot of 200 stems of which thirty were."""

    day: StallDay
    stock: Ready
    lot: Lot
    place: Place


@pytest.fixture
def market(owner: User) -> Market:
    """Loaded, and some of it sold."""
    day, stock, lot = StallDayFactory(), ready(10), LotFactory(stems=200, on=date(2024, 9, 6))
    load_boxes(by=owner, stall_day=day, boxes=[stock.box])
    lines = [Sold(3, line=stock.line, price=500), Sold(3, lot=lot, price=400, stems_each=10)]
    sell(by=owner, on=ON, way=day.way, lines=lines, stall_day=day)
    return Market(day, stock, lot, PlaceFactory())


def hung(market: Market) -> Hanging:
    """The hanging of its stems."""
    return Hanging.objects.get(parting__lot=market.lot)


def put_away(owner: User, market: Market, **given) -> StallBack:
    """Six of the seven came back, two of them crushed; of 170 stems 100 are hung and 20 thrown out."""
    counted = [BackBunches(market.stock.batch, 6, thrown=2)]
    said = {
        "boxes": [BackBox(market.stock.box, counted, shelf="C3")], "place": market.place, "why": "crushed",
        "stems": [BackStems(market.lot, hung=100, room=2, thrown=20)], "on": ON,
    }
    return bring_back(by=owner, stall_day=market.day, **{**said, **given})


def test_all_is_put_away_in_one_step(owner: User, market: Market) -> None:
    """Four stay in the box on its new shelf; one is missing, two are written off; 50 stems stay in water."""
    back = put_away(owner, market)

    market.stock.box.refresh_from_db()
    assert there(market.stock.batch) == [(market.stock.box.code, 4)] and market.stock.box.shelf == "C3"
    gone = Movement.objects.standing().filter(kind="written_off").order_by("pk")
    assert [(row.bunches, row.reason) for row in gone] == [(-1, "count of 2024-09-07"), (-2, "crushed")]
    hanging = hung(market)
    assert (hanging.stems, hanging.room, hanging.place, hanging.on) == (100, 2, market.place, ON)
    out = Parting.objects.get(way="thrown_out")
    assert (out.stems, out.why, stems_left_ever(market.lot)) == (20, "crushed", 50)
    assert back.rows.count() == 4


def test_one_undo_takes_all_of_it_back(owner: User, market: Market) -> None:
    """Seven are in the box as before, on its old shelf, 170 stems in water; then it can be done anew."""
    back = put_away(owner, market)
    undo_bring_back(by=owner, stall_back=back)

    market.stock.box.refresh_from_db()
    assert there(market.stock.batch) == [(market.stock.box.code, 7)] and market.stock.box.shelf == "A1"
    assert stems_left_ever(market.lot) == 170 and not hung(market).stands
    with refused("already_undone"):
        undo_bring_back(by=owner, stall_back=back)
    assert put_away(owner, market) != back


def test_what_rests_on_it_is_undone_first(owner: User, market: Market) -> None:
    """Neither a count of it alone, nor the load, nor the day; and not itself once its stems came down."""
    back = put_away(owner, market)
    with refused("rested_on"):
        undo_count(by=owner, count=StallBackRow.objects.exclude(count=None).get().count)
    with refused("back_already"):
        undo_load(by=owner, stall_load=market.day.loads.get())
    with refused("back_already"):
        load_boxes(by=owner, stall_day=market.day, boxes=[ready(2).box])
    with refused("rested_on"):
        undo_stall_day(by=owner, stall_day=market.day)
    take_down(by=owner, hanging=hung(market), on=date(2024, 9, 20), stems=10)
    with refused("rested_on"):
        undo_bring_back(by=owner, stall_back=back)
    assert StallBack.objects.get().stands


def test_it_is_put_away_once(owner: User, market: Market) -> None:
    """A second time is refused; a second press of the same form returns the first."""
    assert put_away(owner, market, key="once") == put_away(owner, market, key="once")
    with refused("back_already"):
        put_away(owner, market)


@pytest.mark.parametrize(("given", "code"), [
    ({"on": date(2024, 9, 6)}, "too_early"), ({"place": None}, "no_place"), ({"why": " "}, "no_reason"),
])
def test_what_cannot_be_is_refused(owner: User, market: Market, given, code: str) -> None:
    """Back before the market, hung nowhere, thrown out for no reason."""
    with refused(code):
        put_away(owner, market, **given)
    assert not StallBack.objects.exists()


def test_counts_that_cannot_be_are_refused(owner: User, market: Market) -> None:
    """Below zero, more thrown out than came back, in a box that was not there; more found than recorded is no such thing."""
    batch, box = market.stock.batch, market.stock.box

    def back(row: BackBunches, of=box, **given) -> StallBack:
        return bring_back(by=owner, on=ON, stall_day=market.day, boxes=[BackBox(of, [row])], **given)

    with refused("negative"):
        back(BackBunches(batch, -1))
    with refused("more_thrown_than_back"):
        back(BackBunches(batch, 1, thrown=2), why="wet")
    with refused("not_loaded"):
        back(BackBunches(batch, 1), of=BoxFactory())
    back(BackBunches(batch, 9))
    assert there(batch) == [(box.code, 9)]


def test_nothing_need_have_come_back(owner: User, hand: User, market: Market) -> None:
    """All left as it stands is put away too, the next morning; a hand does not do it, an undone day has nothing."""
    other = StallDayFactory()
    undo_stall_day(by=owner, stall_day=other)
    with refused("undone"):
        bring_back(by=owner, on=ON, stall_day=other)
    with pytest.raises(PermissionDenied):
        bring_back(by=hand, on=ON, stall_day=market.day)
    back = bring_back(by=owner, on=date(2024, 9, 8), stall_day=market.day, boxes=[BackBox(market.stock.box)])
    assert back.on == date(2024, 9, 8) and not back.rows.exists()


def test_the_page_shows_what_is_expected_and_puts_it_away(owner: User, client_as, market: Market) -> None:
    """Seven stand there already; one press puts all away, and the day's page lists what was done."""
    client, page = client_as(owner), reverse("sales:bring_back", args=[market.day.pk])
    form = client.get(page).context["form"]
    (content,), lot = form.contents, market.lot
    assert form[f"back_{content.pk}"].value() == 7 and form["on"].value() == ON
    sent = {
        "form_key": "k", "on": "2024-09-07", f"initial-back_{content.pk}": 7, f"back_{content.pk}": 6, f"thrown_{content.pk}": 2,
        f"shelf_{content.box_id}": "C3", f"hung_{lot.pk}": 100, f"room_{lot.pk}": 2, f"out_{lot.pk}": 20,
        "place": market.place.pk, "why": "crushed", "why_words": "by the crowd",
    }
    assert client.post(page, {**sent, "why": "", "why_words": ""}).context["form"].has_error("why", "no_reason")

    answers = {client.post(page, sent)["Location"] for _press in range(2)}

    assert answers == {market.day.get_absolute_url()} and StallBack.objects.count() == 1
    shown = client.get(market.day.get_absolute_url()).content.decode()
    assert "crushed: by the crowd" in shown and reverse("sales:undo_bring_back", args=[StallBack.objects.get().pk]) in shown
    assert "put away already" in client.get(page).content.decode()


def test_a_sale_meanwhile_makes_the_page_count_again(owner: User, client_as, market: Market) -> None:
    """Seven were shown, another phone sold one: what was counted is not taken for found."""
    client, page = client_as(owner), reverse("sales:bring_back", args=[market.day.pk])
    content = client.get(page).context["form"].contents[0]
    sell(by=owner, on=ON, way=market.day.way, lines=[Sold(1, line=market.stock.line, price=500)], stall_day=market.day)
    sent = {"form_key": "k", "on": "2024-09-07", f"initial-back_{content.pk}": 7, f"back_{content.pk}": 7}
    answer = client.post(page, sent)
    assert answer.context["form"].has_error(f"back_{content.pk}", "stale_form") and not StallBack.objects.exists()


def test_a_box_sold_empty_can_still_be_counted(owner: User, client_as, market: Market) -> None:
    """The record says nothing is left of what the market sold; two are there after all."""
    client, page = client_as(owner), reverse("sales:bring_back", args=[market.day.pk])
    sell(by=owner, on=ON, way=market.day.way, lines=[Sold(7, line=market.stock.line, price=500)], stall_day=market.day)
    content = client.get(page).context["form"].contents[0]
    assert content.bunches == 0
    client.post(page, {"form_key": "k", "on": "2024-09-07", f"initial-back_{content.pk}": 0, f"back_{content.pk}": 2})
    assert there(market.stock.batch) == [(market.stock.box.code, 2)]


def test_put_away_days_later_the_page_is_about_the_stall_day(owner: User, client_as, market: Market) -> None:
    """Seven came back; two were drawn and four put in since: seven are asked for, and counted seven nothing is missing."""
    batch, box = market.stock.batch, market.stock.box
    draw(by=owner, on=date(2024, 9, 9), batch=batch, box=box, bunches=2, reason="display")
    since = batch_of(market.stock.line, 4, on=date(2024, 9, 9), box=box)
    client, page = client_as(owner), reverse("sales:bring_back", args=[market.day.pk])
    [content] = client.get(page).context["form"].contents
    assert (content.batch, content.then) == (batch, 7)

    client.post(page, {"form_key": "k", "on": "2024-09-07", f"initial-back_{content.pk}": 7, f"back_{content.pk}": 7})

    assert there(batch, since) == [(box.code, 5), (box.code, 4)]
    assert not Movement.objects.filter(kind="written_off") and StallBack.objects.get().on == ON


def test_another_day_asks_for_what_was_there_then(owner: User, client_as, market: Market) -> None:
    """Five were there two days later: seven counted are not taken for two found; pressed again with five they are."""
    draw(by=owner, on=date(2024, 9, 9), batch=market.stock.batch, box=market.stock.box, bunches=2, reason="display")
    client, page = client_as(owner), reverse("sales:bring_back", args=[market.day.pk])
    content = client.get(page).context["form"].contents[0]
    sent = {"form_key": "k", "on": "2024-09-09", f"initial-back_{content.pk}": 7, f"back_{content.pk}": 7}

    form = client.post(page, sent).context["form"]

    assert form.has_error(f"back_{content.pk}", "stale_form") and not StallBack.objects.exists()
    assert form[f"back_{content.pk}"].as_hidden(only_initial=True).count('value="5"') == 1
    client.post(page, {**sent, f"initial-back_{content.pk}": 5, f"back_{content.pk}": 5})
    assert there(market.stock.batch) == [(market.stock.box.code, 5)] and StallBack.objects.exists()


def test_a_box_put_elsewhere_since_stays_there(owner: User, market: Market) -> None:
    """Put away to C3 and later to D1: undoing what was put away leaves it on D1."""
    back = put_away(owner, market)
    move_box(by=owner, box=market.stock.box, shelf="D1")
    undo_bring_back(by=owner, stall_back=back)
    market.stock.box.refresh_from_db()
    assert market.stock.box.shelf == "D1"


def test_a_shelf_left_alone_on_the_page_changes_nothing(owner: User, client_as, market: Market) -> None:
    """It said A1 when it was opened; somebody put the box on D1 meanwhile."""
    move_box(by=owner, box=market.stock.box, shelf="D1")
    client, box = client_as(owner), market.stock.box
    sent = {"form_key": "k", "on": "2024-09-07", f"initial-shelf_{box.pk}": "A1", f"shelf_{box.pk}": "A1"}
    client.post(reverse("sales:bring_back", args=[market.day.pk]), sent)
    box.refresh_from_db()
    assert box.shelf == "D1" and StallBack.objects.exists()


def test_bunches_in_the_wrong_box_leave_no_promise_short(owner: User, market: Market) -> None:
    """All seven and the four of another box are promised; two lie in the other box: nothing is short, and one undo is enough."""
    stock, other = market.stock, BoxFactory(shelf="B2")
    move(by=owner, on=ON, batch=stock.batch, bunches=3, source=stock.box, target=other)
    load_boxes(by=owner, stall_day=market.day, boxes=[other])
    kept = hold(by=owner, on=ON, line=stock.line, bunches=7, for_what="wedding")
    boxes = [BackBox(stock.box, [BackBunches(stock.batch, 2)]), BackBox(other, [BackBunches(stock.batch, 5)])]

    back = bring_back(by=owner, on=ON, stall_day=market.day, boxes=boxes)

    assert there(stock.batch) == [(stock.box.code, 2), (other.code, 5)]
    assert not kept.changes.filter(why="short")
    undo_bring_back(by=owner, stall_back=back)
    assert there(stock.batch) == [(stock.box.code, 4), (other.code, 3)]


def test_a_day_with_nothing_loaded_says_so(owner: User, client_as) -> None:
    """No box, no fresh lot: nothing to put away."""
    page = reverse("sales:bring_back", args=[StallDayFactory().pk])
    assert "nothing came back" in client_as(owner).get(page).content.decode()


def test_the_page_asks_no_more_for_more_boxes(owner: User, client_as, market: Market, django_assert_max_num_queries) -> None:
    """As many statements for one box as for four."""
    client, page = client_as(owner), reverse("sales:bring_back", args=[market.day.pk])
    with CaptureQueriesContext(connection) as asked:
        client.get(page)
    load_boxes(by=owner, stall_day=market.day, boxes=[ready(2).box for _box in range(3)])
    with django_assert_max_num_queries(len(asked)):
        assert len(client.get(page).context["form"].contents) == 4
