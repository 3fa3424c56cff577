"""Noting work by ticking what was done, and the clock, as a person meets them."""

from datetime import date, datetime, timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from ledger.daybook.actions import start_clock
from ledger.daybook.models import Clock, WorkEntry
from ledger.facts.queries import today
from tests.factories.daybook import rated_worker, the_holding
from tests.factories.growing import LotFactory, PlantingFactory
from tests.filling import fill, read

pytestmark = pytest.mark.django_db
JULY_1 = date(2024, 7, 1)
NOTE = "daybook:note_work"


def noted(client, **typed):
    """Ninety minutes' cutting on 1 July 2024, opened on that day."""
    given = {"worker": rated_worker().pk, "minutes": 90, "task": "cutting", **typed}
    return fill(client, f"{reverse(NOTE)}?on=2024-07-01", **given)


def test_one_tick_notes_ninety_minutes_over_all_that_was_cut(hand, client_as):
    """Eight lots cut that day share by stems at one tick; the lot of the day before does not."""
    lots = [LotFactory(on=JULY_1, stems=10 * (n + 1)) for n in range(8)]
    LotFactory(on=date(2024, 6, 30), stems=5)

    noted(client_as(hand), done=["cut:2024-07-01"], shared="stems")

    shares = dict(WorkEntry.objects.get().shares.values_list("spent_on", "weight"))
    assert shares == {lot.pk: 10 * (n + 1) for n, lot in enumerate(lots)}


def test_ticks_and_the_list_add_up_once_each(hand, client_as):
    """A lot ticked by itself, among all and in the list as well is one share."""
    first, second = LotFactory(on=JULY_1), LotFactory(on=JULY_1)
    planting = PlantingFactory()

    noted(client_as(hand), done=["cut:2024-07-01", str(first.pk)], spent_on=[first.pk, planting.pk])

    shared = WorkEntry.objects.get().shares.values_list("spent_on", flat=True)
    assert sorted(shared) == sorted([first.pk, second.pk, planting.pk])


def test_all_of_another_day_is_never_taken_for_this_ones(hand, client_as):
    """Ticked on 1 July and sent for the 2nd: refused, to be ticked anew."""
    for on in (JULY_1, date(2024, 7, 2)):
        LotFactory(on=on)
        LotFactory(on=on)

    page = noted(client_as(hand), done=["cut:2024-07-01"], on="2024-07-02")

    assert "The day was changed" in str(page.context["form"].errors["done"])
    assert not WorkEntry.objects.exists()


def test_one_ticked_stays_ticked_when_another_day_is_shown(hand, client_as):
    """The lot of 1 July goes along to the 2nd, and is noted there."""
    client, lot = client_as(hand), LotFactory(on=JULY_1)

    form = noted(client, done=[str(lot.pk)], on="2024-07-02", seek="1").context["form"]
    assert form["done"].value() == [str(lot.pk)] and str(lot.pk) in str(form["done"])
    noted(client, done=[str(lot.pk)], on="2024-07-02")

    assert WorkEntry.objects.get().shares.get().spent_on_id == lot.pk


@pytest.mark.parametrize(("typed", "field"), [
    ({}, "spent_on"), ({"done": ["cut:2024-07-01"], "shared": "area", "spent_on": [1]}, "spent_on"),
    ({"done": ["cut:2024-07-01"], "shared": "typed"}, "weights"),
    ({"done": ["cut:2024-07-01"], "shared": "typed", "weights": "1"}, "weights"),
])
def test_what_cannot_be_shared_is_said(hand, client_as, typed, field):
    """Nothing chosen, no area, no parts, parts that do not fit."""
    LotFactory(on=JULY_1), LotFactory(on=JULY_1)
    typed = {**typed, "spent_on": [the_holding()[0][0].pk]} if "spent_on" in typed else typed

    page = noted(client_as(hand), **typed)

    assert list(page.context["form"].errors) == [field]
    assert not WorkEntry.objects.exists()


def test_a_page_of_several_things_names_them_in_its_address(hand, client_as):
    """Two things in the address are both chosen."""
    first, second = PlantingFactory(), PlantingFactory()
    page = read(client_as(hand), f"{reverse(NOTE)}?spent_on={first.pk}&spent_on={second.pk}")

    assert f'value="{first.pk}" selected' in page and f'value="{second.pk}" selected' in page


def test_a_clock_is_started_and_stopped_on_its_pages(hand, client_as):
    """Started on a planting, shown as running here and on Today, stopped into a minute of work."""
    client, planting, worker = client_as(hand), PlantingFactory(), rated_worker(user=hand)
    fill(client, f"{reverse('daybook:start_clock')}?spent_on={planting.pk}", task="cutting")
    clock = Clock.objects.get()
    stop = reverse("daybook:stop_clock", args=[clock.pk])

    assert stop in read(client, reverse("daybook:clocks")) and stop in read(client, reverse("today"))
    sent = fill(client, stop)

    entry = WorkEntry.objects.get()
    assert sent.url == entry.get_absolute_url() and (entry.worker, entry.on, entry.minutes) == (worker, today(), 1)
    assert "No clock runs." in read(client, reverse("daybook:clocks"))
    assert "It runs no longer." in read(client, stop)


def running(by, minutes, things=1) -> Clock:
    """A clock started so many minutes ago."""
    spent_on = [one.cost_object for one in (PlantingFactory() for _ in range(things))]
    at = timezone.now() - timedelta(minutes=minutes)
    return start_clock(by=by, worker=rated_worker(), task="cutting", spent_on=spent_on, at=at)


def test_a_clock_forgotten_is_stopped_at_the_time_said(hand, client_as):
    """It ran for three hours; the work stopped after one."""
    clock = running(hand, 180)
    stopped = (clock.started_at + timedelta(hours=1)).strftime("%H:%M")

    fill(client_as(hand), reverse("daybook:stop_clock", args=[clock.pk]), at=stopped)

    assert sum(WorkEntry.objects.values_list("minutes", flat=True)) in {59, 60}


def test_a_time_still_to_come_is_refused(hand, client_as):
    """An hour ahead is after the clock's start and has not come."""
    clock = running(hand, 5)
    at = (timezone.now() + timedelta(hours=1)).strftime("%H:%M")

    page = fill(client_as(hand), reverse("daybook:stop_clock", args=[clock.pk]), at=at)

    assert list(page.context["form"].errors) == ["at"] and not WorkEntry.objects.exists()


def test_a_clock_on_one_thing_does_not_ask_how_it_is_shared(hand, client_as):
    """Only one on several does, by stems or area or equally."""
    client = client_as(hand)
    one, two = (client.get(reverse("daybook:stop_clock", args=[running(hand, 5, things).pk])) for things in (1, 2))

    assert "shared" not in one.context["form"].fields
    assert [value for value, _label in two.context["form"].fields["shared"].choices] == ["equally", "stems", "area"]


def test_a_clock_is_dropped_on_its_page(hand, client_as):
    """Nothing is noted."""
    clock, client = running(hand, 5), client_as(hand)

    assert fill(client, reverse("daybook:drop_clock", args=[clock.pk])).url == reverse("daybook:clocks")
    assert not WorkEntry.objects.exists()
    assert isinstance(Clock.objects.get().stopped_at, datetime)


def test_sellers_see_no_clock(seller, client_as):
    """The pages are closed to whose role allows no work."""
    for name in ("clocks", "start_clock", "note_week", "use_material"):
        assert client_as(seller).get(reverse(f"daybook:{name}")).status_code == 403
