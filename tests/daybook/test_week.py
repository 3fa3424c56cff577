"""A week's hours on one sheet."""

from datetime import date

import pytest

from ledger.daybook.actions import Hours, note_week
from ledger.daybook.models import WorkEntry
from tests.factories.daybook import WorkerFactory, WorkFactory, rated_worker, the_holding
from tests.refusals import codes_of, refused

pytestmark = pytest.mark.django_db
MONDAY, TUESDAY, SUNDAY = date(2024, 7, 1), date(2024, 7, 2), date(2024, 7, 7)


def hours(on, minutes, task="cutting", spent_on=None, row="0"):
    """So many minutes' cutting for the holding."""
    return Hours(on, minutes, task, the_holding() if spent_on is None else spent_on, row)


def test_a_week_is_noted_at_once(hand):
    """Three cells of two rows are three entries of their days."""
    worker = rated_worker()
    entries = note_week(
        by=hand, worker=worker, hours=[hours(MONDAY, 90), hours(TUESDAY, 60), hours(SUNDAY, 30, "office", row="1")]
    )

    assert [(one.on, one.minutes, one.task, one.worker) for one in entries] == [
        (MONDAY, 90, "cutting", worker), (TUESDAY, 60, "cutting", worker), (SUNDAY, 30, "office", worker),
    ]


@pytest.mark.parametrize(("given", "code", "field"), [
    ({"minutes": 60}, "too_long", "minutes_1_1"), ({"spent_on": []}, "spent_on_nothing", "spent_on_1"),
    ({"task": "dreaming"}, "invalid_choice", "task_1"),
])
def test_one_bad_cell_refuses_the_whole_week(hand, given, code, field):
    """Nothing of the week is noted, and the cell at fault is named."""
    worker = rated_worker()
    WorkFactory(worker=worker, on=TUESDAY, minutes=1400)
    bad = hours(**{"on": TUESDAY, "minutes": 5, "row": "1", **given})

    with refused(code) as caught:
        note_week(by=hand, worker=worker, hours=[hours(MONDAY, 90), bad])

    assert list(caught.value.error_dict) == [field]
    assert WorkEntry.objects.count() == 1


def test_a_worker_without_a_rate_is_named(hand):
    """The worker is at fault, not a cell."""
    with refused("no_rate") as caught:
        note_week(by=hand, worker=WorkerFactory(), hours=[hours(MONDAY, 90)])

    assert list(caught.value.error_dict) == ["worker"] and codes_of(caught.value) == ["no_rate"]


def test_an_empty_week_is_refused(hand):
    """A sheet without a minute notes nothing."""
    with refused("nothing_noted"):
        note_week(by=hand, worker=rated_worker(), hours=[])


def test_the_second_press_notes_the_week_once(hand):
    """One form, one week."""
    given = {"worker": rated_worker(), "hours": [hours(MONDAY, 90), hours(TUESDAY, 60)], "key": "a-form"}

    assert note_week(by=hand, **given) == note_week(by=hand, **given)
    assert WorkEntry.objects.count() == 2
