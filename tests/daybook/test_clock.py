"""The clock: started, stopped into entries of work, or dropped."""

from datetime import UTC, date, datetime, timedelta

import pytest
from django.core.exceptions import PermissionDenied
from django.utils import timezone

from ledger.daybook.actions import drop_clock, start_clock, stop_clock
from ledger.daybook.models import Clock, WorkEntry
from ledger.facts.models import Holding
from ledger.growing.actions import undo_planting
from tests.factories.daybook import WorkerFactory, WorkFactory, rated_worker, the_holding
from tests.factories.growing import LotFactory, PlantingFactory
from tests.refusals import refused

pytestmark = pytest.mark.django_db
JULY_1, JULY_2 = date(2024, 7, 1), date(2024, 7, 2)


def at(day: int, hour: int, minute: int = 0) -> datetime:
    """A moment of July 2024."""
    return datetime(2024, 7, day, hour, minute, tzinfo=UTC)


def started(by, **given) -> Clock:
    """A clock that runs on cutting since nine on 1 July 2024, for the holding, unless said otherwise."""
    given = {"at": at(1, 9), "task": "cutting", **given}
    given.setdefault("spent_on", [the_holding()[0][0]])
    return start_clock(by=by, worker=given.pop("worker", None) or rated_worker(), **given)


def test_a_clock_gives_the_minutes_that_passed(hand):
    """From nine to half past ten: ninety minutes' cutting, and it runs no more."""
    clock = started(hand)

    [entry] = stop_clock(by=hand, worker=clock.worker, at=at(1, 10, 30))

    assert (entry.on, entry.minutes, entry.task, entry.shares.get().spent_on) == (JULY_1, 90, "cutting", the_holding()[0][0])
    clock.refresh_from_db()
    assert clock.stopped_at == at(1, 10, 30)


def test_midnight_parts_the_entries(hand):
    """From 23:00 to 1:30 are sixty minutes of one day and ninety of the next."""
    clock = started(hand, at=at(1, 23))

    entries = stop_clock(by=hand, worker=clock.worker, at=at(2, 1, 30))

    assert [(entry.on, entry.minutes) for entry in entries] == [(JULY_1, 60), (JULY_2, 90)]


def test_days_end_in_the_holdings_time_zone(hand):
    """Where it is two hours later, 22:30 is the next day already."""
    Holding.objects.update(time_zone="Etc/GMT-2")
    clock = started(hand, at=at(1, 21))

    entries = stop_clock(by=hand, worker=clock.worker, at=at(1, 22, 30))

    assert [(entry.on, entry.minutes) for entry in entries] == [(JULY_1, 60), (JULY_2, 30)]


def test_a_clock_on_several_things_shares_as_asked(hand):
    """Two lots of 120 and 80 stems share by stems."""
    lots = [LotFactory(stems=120), LotFactory(stems=80)]
    clock = started(hand, spent_on=[lot.cost_object for lot in lots])

    [entry] = stop_clock(by=hand, worker=clock.worker, at=at(1, 10), shared="stems")

    assert [share.weight for share in entry.shares.all()] == [120, 80]


def test_one_clock_runs_for_a_worker(hand):
    """A second start is refused; another worker's is not; stopped, it may start again."""
    clock = started(hand)

    with refused("runs_already"):
        started(hand, worker=clock.worker)
    assert started(hand).stopped_at is None
    stop_clock(by=hand, worker=clock.worker, at=at(1, 10))
    assert started(hand, worker=clock.worker).stopped_at is None


def test_a_dropped_clock_leaves_no_work(hand):
    """Forgotten or pressed by mistake, it goes without a trace in the hours."""
    clock = started(hand)

    assert drop_clock(by=hand, worker=clock.worker).stopped_at is not None
    assert not WorkEntry.objects.exists()
    with refused("not_running"):
        stop_clock(by=hand, worker=clock.worker)


def test_a_page_of_a_clock_that_was_stopped_stops_no_other(hand):
    """The old clock's button does nothing to the one that runs now."""
    old = started(hand)
    stop_clock(by=hand, worker=old.worker, at=at(1, 10))
    started(hand, worker=old.worker)

    for verb in (stop_clock, drop_clock):
        with refused("not_running"):
            verb(by=hand, worker=old.worker, clock=old)


@pytest.mark.parametrize(("moment", "code"), [
    (at(1, 8, 59), "too_early"), (at(2, 9, 1), "too_long"), (timezone.now() + timedelta(days=1), "not_yet"),
])
def test_a_clock_stops_within_a_day_of_its_start(hand, moment, code):
    """Not before it started, not more than a day later, not in time to come; refused, it runs on."""
    clock = started(hand)

    with refused(code):
        stop_clock(by=hand, worker=clock.worker, at=moment)
    clock.refresh_from_db()
    assert clock.stopped_at is None and not WorkEntry.objects.exists()


def test_a_clock_started_and_stopped_at_once_is_a_minute_of_now(hand):
    """Without a moment said, both are now."""
    clock = started(hand, at=None)

    [entry] = stop_clock(by=hand, worker=clock.worker)

    assert entry.minutes == 1
    assert abs(timezone.now() - clock.started_at) < timedelta(minutes=1)


@pytest.mark.parametrize(("given", "code"), [
    ({"spent_on": []}, "spent_on_nothing"), ({"task": "dreaming"}, "invalid_choice"),
    ({"at": datetime(2050, 1, 1, tzinfo=UTC)}, "not_yet"), ({"at": datetime(2023, 12, 31, tzinfo=UTC)}, "no_rate"),
])
def test_a_clock_starts_on_something_known(hand, given, code):
    """A thing, a task, a moment that has come and a rate on it."""
    with refused(code):
        started(hand, **given)
    with refused("no_rate"):
        started(hand, worker=WorkerFactory())
    assert not Clock.objects.exists()


def test_minutes_beyond_the_day_are_refused_and_the_clock_runs_on(hand):
    """1400 minutes noted by hand leave no room for an hour."""
    clock = started(hand)
    WorkFactory(worker=clock.worker, on=JULY_1, minutes=1400)

    with refused("too_long"):
        stop_clock(by=hand, worker=clock.worker, at=at(1, 10))
    assert Clock.objects.get(stopped_at=None) == clock


def test_what_was_undone_takes_no_time(owner):
    """The planting went while the clock ran: it is dropped, not stopped."""
    planting = PlantingFactory()
    clock = started(owner, spent_on=[planting.cost_object])
    undo_planting(by=owner, planting=planting)

    with refused("undone"):
        stop_clock(by=owner, worker=clock.worker, at=at(1, 10))
    assert drop_clock(by=owner, worker=clock.worker).stopped_at is not None


def test_the_second_press_stops_once(hand):
    """One form, one entry."""
    clock = started(hand)
    given = {"worker": clock.worker, "at": at(1, 10), "key": "a-form"}

    assert stop_clock(by=hand, **given) == stop_clock(by=hand, **given)
    assert WorkEntry.objects.count() == 1


def test_sellers_start_no_clock(seller, hand):
    """Clocks are for those whose role allows work."""
    clock = started(hand)

    with pytest.raises(PermissionDenied):
        started(seller)
    with pytest.raises(PermissionDenied):
        stop_clock(by=seller, worker=clock.worker)
