"""Boxes loaded for a stall day: what may go along, and that the stall sells from them first."""

from datetime import date

import pytest
from django.core.exceptions import PermissionDenied
from django.urls import reverse

from ledger.daybook.models import PurchaseLine
from ledger.facts.models import User
from ledger.pricing.actions import set_price
from ledger.sales.actions import Sold, load_boxes, open_stall_day, sell, undo_load, undo_stall_day
from ledger.sales.models import StallDay, StallLoad
from ledger.sales.queries.loading import last_time, loads_of, sold_at, to_load
from ledger.stock.actions import hold, hold_back, let_go, new_box, undo_hold_back
from tests.factories.sales import StallDayFactory, ready
from tests.factories.stock import BoxFactory, batch_of, there
from tests.refusals import refused

ON = date(2024, 9, 7)


def test_the_stall_sells_from_its_boxes_first_oldest_first(owner: User) -> None:
    """The loaded box holds a younger batch; it goes first, then the older one at home."""
    stock, day, along = ready(5), StallDayFactory(), BoxFactory(shelf="B2")
    young = batch_of(stock.line, 4, on=date(2024, 8, 20), box=along)
    younger = batch_of(stock.line, 2, on=date(2024, 8, 25), box=along)
    load_boxes(by=owner, stall_day=day, boxes=[along])

    sell(by=owner, on=ON, way=day.way, lines=[Sold(5, line=stock.line, price=400)], stall_day=day)
    assert there(stock.batch, young, younger) == [(stock.box.code, 5), (along.code, 1)]

    sell(by=owner, on=ON, way=day.way, lines=[Sold(3, line=stock.line, price=400)], stall_day=day)
    assert there(stock.batch, young, younger) == [(stock.box.code, 3)]


def test_what_is_away_at_a_market_is_sold_elsewhere_last(owner: User) -> None:
    """The gate does not sell what stands at the market while anything is at home."""
    stock, day = ready(5), StallDayFactory()
    home = BoxFactory(shelf="B2")
    young = batch_of(stock.line, 4, on=date(2024, 8, 20), box=home)
    load_boxes(by=owner, stall_day=day, boxes=[stock.box])

    sell(by=owner, on=ON, way=day.way, lines=[Sold(4, line=stock.line, price=400)])

    assert there(stock.batch, young) == [(stock.box.code, 5)]


def test_parcels_and_boxes_held_back_stay_at_home(owner: User) -> None:
    """Let go, a box may go along."""
    day, stock = StallDayFactory(), ready(3)
    with refused("parcel"):
        load_boxes(by=owner, stall_day=day, boxes=[new_box(by=owner, parcel=True)])
    held = hold_back(by=owner, on=ON, box=stock.box, until=date(2024, 12, 1), why="for Advent")
    with refused("held_back"):
        load_boxes(by=owner, stall_day=day, boxes=[stock.box])
    assert to_load(day) == []
    let_go(by=owner, on=ON, held_back=held)
    assert [load.box for load in to_load(day)] == [stock.box]
    assert load_boxes(by=owner, stall_day=day, boxes=[stock.box])[0].on == ON


def test_a_box_goes_to_one_market_a_day(owner: User) -> None:
    """Not loaded twice, not for another market that day, but for one on another day; an undone load frees it."""
    stock, day = ready(3), StallDayFactory()
    other = open_stall_day(by=owner, on=ON, name="Sunday market", way=day.way)
    later = open_stall_day(by=owner, on=date(2024, 9, 14), name="Saturday market", way=day.way)
    load = load_boxes(by=owner, stall_day=day, boxes=[stock.box])[0]
    with refused("loaded_already"):
        load_boxes(by=owner, stall_day=day, boxes=[stock.box])
    with refused("loaded_elsewhere"):
        load_boxes(by=owner, stall_day=other, boxes=[stock.box])
    assert to_load(other) == [] and [one.box for one in to_load(later)] == [stock.box]
    undo_load(by=owner, stall_load=load)
    assert load_boxes(by=owner, stall_day=other, boxes=[stock.box])


def test_nothing_ticked_and_an_undone_day_are_refused(owner: User, hand: User) -> None:
    """A loaded day is not undone; a hand does not load."""
    stock, day = ready(3), StallDayFactory()
    with refused("no_boxes"):
        load_boxes(by=owner, stall_day=day, boxes=[])
    with pytest.raises(PermissionDenied):
        load_boxes(by=hand, stall_day=day, boxes=[stock.box])
    load = load_boxes(by=owner, stall_day=day, boxes=[stock.box])[0]
    with refused("rested_on"):
        undo_stall_day(by=owner, stall_day=day)
    undo_load(by=owner, stall_load=load)
    undo_stall_day(by=owner, stall_day=day)
    with refused("undone"):
        load_boxes(by=owner, stall_day=day, boxes=[stock.box])


def test_boxes_loaded_twice_by_one_press_are_loaded_once(owner: User) -> None:
    """The second press returns the first loads."""
    stock, day = ready(3), StallDayFactory()
    first = load_boxes(by=owner, stall_day=day, boxes=[stock.box], key="once")
    assert load_boxes(by=owner, stall_day=day, boxes=[stock.box], key="once") == first
    assert StallLoad.objects.count() == 1


def test_the_list_says_what_was_sold_there_last_time(owner: User) -> None:
    """Of the market of that name before this one, not of another."""
    stock, earlier = ready(9), StallDayFactory(on=date(2024, 8, 31))
    set_price(by=owner, way=earlier.way, line=stock.line, on=date(2024, 8, 1), amount=450)
    sell(by=owner, on=earlier.on, way=earlier.way, lines=[Sold(2, line=stock.line)], stall_day=earlier)
    other = open_stall_day(by=owner, on=date(2024, 9, 1), name="Harbour fair", way=earlier.way)
    sell(by=owner, on=other.on, way=other.way, lines=[Sold(3, line=stock.line)], stall_day=other)
    day = open_stall_day(by=owner, on=ON, name="saturday market", way=earlier.way)

    inside = to_load(day)[0].inside[0]

    assert last_time(day) == earlier and last_time(earlier) is None
    assert (inside.bunches, inside.price, inside.sold_last) == (4, "4.50", 2)
    assert sold_at(earlier) == {stock.line.pk: 2} and sold_at(None) == {}


@pytest.mark.parametrize(("promised", "says"), [(0, ""), (2, "only 2 of this line free"), (4, "all of this line promised")])
def test_what_is_promised_is_said_before_it_is_loaded(owner: User, client_as, promised, says) -> None:
    """Of four in a box two are promised, or all: said beside the tick and on the paper, also once it is loaded."""
    stock, day = ready(4), StallDayFactory()
    if promised:
        hold(by=owner, on=ON, line=stock.line, bunches=promised, for_what="a wedding")
    client, page = client_as(owner), reverse("sales:load_boxes", args=[day.pk])

    before = client.get(page).content.decode()
    assert to_load(day)[0].inside[0].free == 4 - promised
    load_boxes(by=owner, stall_day=day, boxes=[stock.box])
    after = client.get(page).content.decode()

    for shown in (before, after):
        assert says in shown and ("promised" in shown) == bool(says)


@pytest.fixture
def loaded(owner: User) -> tuple[StallDay, StallLoad]:
    """A day with one box of three."""
    day = StallDayFactory()
    return day, load_boxes(by=owner, stall_day=day, boxes=[ready(3).box])[0]


def test_boxes_are_ticked_on_the_page_and_shown_on_the_days(owner: User, client_as) -> None:
    """The ticked one goes along, the other stays; the day's page shows it with a way to leave it at home."""
    client, day, one, other = client_as(owner), StallDayFactory(), ready(3), ready(4)
    page = reverse("sales:load_boxes", args=[day.pk])
    form = client.get(page).context["form"]
    assert [load.box for load in form.loads] == sorted([one.box, other.box], key=lambda box: box.code)

    answer = client.post(page, {"form_key": "k", f"tick_{one.box.pk}": "on"})

    assert answer["Location"] == day.get_absolute_url()
    assert [load.box for load in loads_of(day)] == [one.box] and loads_of(day)[0].bunches == 3
    shown = client.get(day.get_absolute_url()).content.decode()
    assert reverse("sales:undo_load", args=[loads_of(day)[0].load.pk]) in shown
    assert client.post(page, {"form_key": "k2"}).status_code == 422


def test_the_loading_list_is_a_paper_also_when_a_box_is_empty(owner: User, client_as, loaded) -> None:
    """It opens before and after everything in the box was sold."""
    day, load = loaded
    client, page = client_as(owner), reverse("sales:loading_list_paper", args=[day.pk])
    assert client.get(page).status_code == 200
    line = load.box.contents.get().batch.line
    sell(by=owner, on=ON, way=day.way, lines=[Sold(3, line=line, price=100)], stall_day=day)
    assert client.get(page).status_code == 200
    assert "Nothing is left in it" in client.get(day.get_absolute_url()).content.decode()


def test_the_loading_page_asks_no_more_for_more_boxes(owner: User, client_as, django_assert_max_num_queries) -> None:
    """Six boxes want no more questions than one."""
    client, day = client_as(owner), StallDayFactory()
    for _box in range(6):
        ready(2)
    page = reverse("sales:load_boxes", args=[day.pk])
    client.get(page)
    with django_assert_max_num_queries(28):
        client.get(page)


def test_the_stall_lists_what_is_at_hand_first(owner: User, client_as) -> None:
    """The loaded line stands before the others, with how many are here."""
    client, day, first, second = client_as(owner), StallDayFactory(), ready(3), ready(4)
    load_boxes(by=owner, stall_day=day, boxes=[second.box])
    form = client.get(f"{reverse('sales:sell')}?stall_day={day.pk}").context["form"]
    rows = [(row.heading, row.note) for row in form.line_rows()]
    assert rows == [(second.line, "4 here, 4 free"), (first.line, "3 free")]


def test_a_box_held_back_wrongly_is_offered_again_when_that_is_undone(owner: User) -> None:
    """Undone, it never was held back."""
    stock, day = ready(3), StallDayFactory()
    held = hold_back(by=owner, on=ON, box=stock.box, until=ON, why="by mistake")
    undo_hold_back(by=owner, held_back=held)
    assert [load.box for load in to_load(day)] == [stock.box]


def test_the_pitch_fee_is_entered_from_the_days_page_but_for_its_amount(owner: User, client_as) -> None:
    """The link fills in day, supplier, what it is and what it is spent on."""
    client, day = client_as(owner), StallDayFactory()
    link = next(link for link in client.get(day.get_absolute_url()).context["links"] if "pitch" in str(link.label))
    form = client.get(link.url).context["form"]
    said = {name: str(form[name].value()) for name in ("on", "supplier", "description_0")}
    assert said == {"on": "2024-09-07", "supplier": "Saturday market", "description_0": "Pitch"}
    sent = {name: value for name in form.fields if (value := form[name].value()) not in (None, "", False)}
    assert client.post(link.url, {**sent, "net_0": "28.00"}).status_code == 302
    line = PurchaseLine.objects.get()
    assert (line.net, line.kind.code, line.shares.get().spent_on) == (2800, "fees", day.cost_object)
