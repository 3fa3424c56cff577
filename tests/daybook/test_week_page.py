"""The sheet of a week's hours, as a person meets it."""

from datetime import date

import pytest
from django.urls import reverse

from ledger.daybook.models import WorkEntry
from ledger.facts.queries import holding
from tests.factories.daybook import PayFactory, WorkerFactory, WorkFactory, rated_worker
from tests.factories.growing import LotFactory
from tests.filling import fill, read

pytestmark = pytest.mark.django_db
WEEK = "2024-07-03"


def url(worker, on=WEEK):
    """The sheet of a worker's week."""
    return f"{reverse('daybook:note_week')}?worker={worker.pk}&on={on}"


def test_a_week_is_noted_from_one_sheet(hand, client_as):
    """Ninety minutes on Monday, an hour and a half on Tuesday, on the holding; back on the same week, filled."""
    worker, client = rated_worker(), client_as(hand)
    thing = holding().cost_object_id

    sent = fill(client, url(worker), minutes_0_0="90", minutes_0_1="1:30", task_0="cutting", spent_on_0=[thing])

    assert sent.url == url(worker)
    assert sorted((str(one.on), one.minutes) for one in WorkEntry.objects.all()) == [("2024-07-01", 90), ("2024-07-02", 90)]
    assert client.get(sent.url).context["week"].minutes == 180


def test_two_lots_share_a_day_of_the_week_by_stems(hand, client_as):
    """120 and 80 stems, latest first."""
    lots = [LotFactory(stems=120), LotFactory(stems=80)]
    fill(
        client_as(hand), url(rated_worker()), minutes_1_4="60", task_1="cutting", shared_1="stems",
        spent_on_1=[lot.pk for lot in lots],
    )

    assert list(WorkEntry.objects.get().shares.values_list("weight", flat=True)) == [80, 120]


@pytest.mark.parametrize(("typed", "field"), [
    ({"minutes_0_0": "1:75"}, "minutes_0_0"), ({"minutes_0_0": "ninety"}, "minutes_0_0"),
    ({"minutes_0_0": "25:00"}, "minutes_0_0"),
    ({"minutes_0_0": "5", "spent_on_0": []}, "spent_on_0"), ({"minutes_0_0": ""}, "__all__"),
    ({"minutes_0_0": "5", "weights_0": "2 3"}, "weights_0"),
])
def test_what_is_amiss_is_said_at_its_cell(hand, client_as, typed, field):
    """Nothing is noted, and what was typed stays."""
    typed = {"spent_on_0": [holding().cost_object_id], **typed}

    page = fill(client_as(hand), url(rated_worker()), task_0="cutting", **typed)

    assert (page.status_code, list(page.context["form"].errors)) == (422, [field])
    assert page.context["form"]["minutes_0_0"].value() == typed["minutes_0_0"]
    assert not WorkEntry.objects.exists()


def test_the_week_stands_beside_its_pay(bookkeeper, hand, client_as):
    """31.00 paid for July are 7.00 of a week; an hour at 12.00 is noted: 5.00 not yet entered. A hand reads no money."""
    worker = rated_worker()
    PayFactory(worker=worker, amount=3100)
    WorkFactory(worker=worker, minutes=60)

    week = client_as(bookkeeper).get(url(worker)).context["week"]

    assert (week.paid, week.worth, week.difference, week.minutes) == (700, 1200, -500, 60)
    seen, hidden = (read(client_as(user), url(worker)) for user in (bookkeeper, hand))
    assert "12.00" in seen and "pay not yet entered" in seen
    assert "12.00" not in hidden and "7.00" not in hidden


def test_hours_of_the_week_are_worth_the_rate_of_their_day(bookkeeper, client_as):
    """Of the day before and the day after nothing counts; who is not paid wages has no difference."""
    worker = rated_worker(paid=False)
    for month, day in ((6, 30), (7, 1), (7, 7), (7, 8)):
        WorkFactory(worker=worker, on=date(2024, month, day), minutes=30)

    week = client_as(bookkeeper).get(url(worker)).context["week"]

    assert (week.minutes, week.worth, week.paid, week.difference) == (60, 1200, None, None)


def test_another_week_and_another_line_keep_what_was_typed(hand, client_as):
    """Neither button notes anything."""
    worker, client = rated_worker(), client_as(hand)

    more = fill(client, url(worker), minutes_0_0="90", more="1").context["form"]
    other = fill(client, url(worker), minutes_0_0="90", on="2024-07-10", seek="1")

    assert (more.lines, more["minutes_0_0"].value()) == (4, "90")
    assert other.context["form"].days()[0].day == 8 and other.context["form"]["minutes_0_0"].value() == "90"
    assert not WorkEntry.objects.exists()


def test_a_worker_without_a_rate_is_refused_beside_the_name(hand, client_as):
    """No rate, no hours."""
    page = fill(
        client_as(hand), url(WorkerFactory()), minutes_0_0="90", task_0="cutting", spent_on_0=[holding().cost_object_id]
    )

    assert list(page.context["form"].errors) == ["worker"]


@pytest.mark.parametrize("on", ["", "0001-01-01", "9999-12-31", "nonsense"])
def test_an_absurd_day_shows_this_week(hand, client_as, on):
    """An address made up by hand breaks nothing."""
    assert client_as(hand).get(url(rated_worker(), on)).status_code == 200
