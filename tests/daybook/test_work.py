"""Workers, their rates, hours noted."""

from datetime import date

import pytest
from django.core.exceptions import PermissionDenied

from ledger.daybook.actions import add_worker, note_work, set_worker_rate, undo_work, undo_worker_rate
from ledger.daybook.models import WorkEntry, Worker
from ledger.daybook.queries import first_without_rate, minutes_on, minutes_spent_on, rate_in_force
from tests.factories.daybook import RateFactory, WorkerFactory, WorkFactory, rated_worker, the_holding
from tests.factories.growing import PlantingFactory
from tests.refusals import refused

pytestmark = pytest.mark.django_db
DEC_31, JAN_1, JULY_1 = date(2023, 12, 31), date(2024, 1, 1), date(2024, 7, 1)


def noted(by, **given):
    """Ninety minutes' cutting on 1 July 2024 for the holding, unless said otherwise."""
    given = {"on": JULY_1, "minutes": 90, "task": "cutting", **given}
    given.setdefault("spent_on", the_holding())
    return note_work(by=by, worker=given.pop("worker", None) or rated_worker(), **given)


def test_hours_are_shared_by_weight_and_stay_one_fact(hand):
    """Ninety minutes on two plantings, two parts to one, are one entry with two shares."""
    first, second = PlantingFactory(), PlantingFactory()

    entry = noted(hand, spent_on=[(first.cost_object, 2), (second.cost_object, 1)], note="first flush")

    assert entry.minutes == 90
    assert list(entry.shares.values_list("spent_on", "weight")) == [(first.pk, 2), (second.pk, 1)]
    assert minutes_spent_on(first.cost_object) == 90, "an entry that is shared counts whole"
    assert list(WorkEntry.objects.spent_on(second.cost_object)) == [entry]


def test_hours_need_a_rate_that_day(owner):
    """With a rate from 1 January, the day before has none."""
    worker = rated_worker()

    with refused("no_rate"):
        noted(owner, worker=worker, on=DEC_31)
    with refused("no_rate"):
        noted(owner, worker=WorkerFactory())
    assert noted(owner, worker=worker, on=JAN_1).stands


def test_a_day_has_1440_minutes(owner):
    """1000 minutes noted leave 440, that day only."""
    worker = rated_worker()
    noted(owner, worker=worker, minutes=1000)

    with refused("too_long"):
        noted(owner, worker=worker, minutes=441)
    noted(owner, worker=worker, minutes=440)

    assert minutes_on(worker, JULY_1) == 1440
    assert noted(owner, worker=worker, on=date(2024, 7, 2), minutes=1440).minutes == 1440


@pytest.mark.parametrize(("given", "code"), [
    ({"minutes": 0}, "min_value"), ({"minutes": -5}, "min_value"), ({"minutes": 1441}, "too_long"),
    ({"task": "dreaming"}, "invalid_choice"), ({"on": date(2050, 1, 1)}, "not_yet"), ({"spent_on": []}, "spent_on_nothing"),
])
def test_absurd_hours_are_refused(owner, given, code):
    """Some minutes of a day that has come, at a known task, on something."""
    with refused(code):
        noted(owner, **given)
    assert not WorkEntry.objects.exists()


def test_each_thing_is_named_once_with_a_weight(owner):
    """The same thing twice, or a weight of nothing, is refused and leaves no entry."""
    [(thing, _)] = the_holding()

    with refused("named_twice"):
        noted(owner, spent_on=[(thing, 1), (thing, 2)])
    with refused("min_value"):
        noted(owner, spent_on=[(thing, 0)])
    assert not WorkEntry.objects.exists()


def test_work_may_come_before_its_thing(owner):
    """A bed is made ready in March for what is planted in April."""
    planting = PlantingFactory(on=date(2024, 4, 1))

    assert noted(owner, on=date(2024, 3, 1), spent_on=[(planting.cost_object, 1)]).stands


def test_the_second_press_notes_once(owner):
    """One form makes one entry."""
    given = {"worker": rated_worker(), "key": "a-form"}

    assert noted(owner, **given) == noted(owner, **given)
    assert WorkEntry.objects.count() == 1


def test_hands_and_bookkeepers_note_work_and_sellers_do_not(hand, bookkeeper, seller):
    """Hours are noted by those whose role allows work."""
    assert noted(hand).stands and noted(bookkeeper).stands
    with pytest.raises(PermissionDenied):
        noted(seller)


def test_hours_undone_count_no_more(hand):
    """Undone, the minutes are free again; once only."""
    entry = WorkFactory(minutes=1440)

    undo_work(by=hand, entry=entry)

    assert minutes_on(entry.worker, JULY_1) == 0
    with refused("already_undone"):
        undo_work(by=hand, entry=entry)


def test_a_rate_holds_from_its_day(owner):
    """12.00 from 1 January, 13.00 from 1 July: the day before still 12.00, a year before none."""
    worker = rated_worker()
    set_worker_rate(by=owner, worker=worker, on=JULY_1, per_hour=1300)

    assert [rate_in_force(worker, on) for on in (DEC_31, JAN_1, date(2024, 6, 30), JULY_1)] == [None, 1200, 1200, 1300]
    assert Worker.objects.with_rate(JULY_1).get(pk=worker.pk).per_hour == 1300


def test_minutes_are_summed_over_a_stretch(owner):
    """Both its days count, the day before does not."""
    worker = rated_worker()
    for day, minutes in ((30, 10), (1, 20), (2, 40)):
        noted(owner, worker=worker, on=date(2024, 6 if day == 30 else 7, day), minutes=minutes)

    found = Worker.objects.with_minutes(JULY_1, date(2024, 7, 2)).with_rate(JULY_1).get(pk=worker.pk)

    assert (found.minutes, found.per_hour) == (60, 1200)


def test_hours_never_lose_their_only_rate(owner):
    """A rate under hours of 1 July stands when the next begins on 1 August; that one can go."""
    worker = rated_worker()
    first = worker.rates.get()
    WorkFactory(worker=worker, on=JULY_1)
    later = RateFactory(worker=worker, on=date(2024, 8, 1), per_hour=1300)

    with refused("rested_on"):
        undo_worker_rate(by=owner, rate=first)
    undo_worker_rate(by=owner, rate=later)

    assert first_without_rate(worker) is None
    assert rate_in_force(worker, JULY_1) == 1200


def test_a_rate_no_hours_rest_on_is_undone(owner):
    """The only rate goes when nothing was noted."""
    rate = RateFactory()

    assert not undo_worker_rate(by=owner, rate=rate).stands
    assert rate_in_force(rate.worker, JULY_1) is None


def test_only_those_who_see_money_add_workers_and_rates(hand, bookkeeper):
    """A hand knows nothing of rates."""
    worker = add_worker(by=bookkeeper, name="Sorrel", paid=False, user=hand)

    assert hand.worker == worker
    with pytest.raises(PermissionDenied):
        add_worker(by=hand, name="Teasel")
    with pytest.raises(PermissionDenied):
        set_worker_rate(by=hand, worker=worker, on=JAN_1, per_hour=1)
    with refused("unique"):
        add_worker(by=bookkeeper, name="Sorrel")
    with refused("min_value"):
        set_worker_rate(by=bookkeeper, worker=worker, on=JAN_1, per_hour=-1)
