"""All that goes along to a job or a workshop in one step, all that comes back, and their pages."""

from collections.abc import Callable
from datetime import date, timedelta

import pytest
from django.core.exceptions import PermissionDenied
from django.db import connection
from django.db.models import Q
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from ledger.facts.models import User
from ledger.growing.queries import stems_left_ever
from ledger.sales.actions import (
    Part,
    add_piece,
    bring_back_from,
    cancel_job,
    take_along,
    take_bunches_for,
    take_stems_for,
    undo_came_back,
)
from ledger.sales.models import CameBack, Job, Taken
from ledger.sales.queries.taken import still_out_of
from ledger.stock.models import Line, Movement
from tests.factories.drying import LotFactory
from tests.factories.jobs import ASKED_ABOUT, HELD, JobFactory, kept_for, piece_of
from tests.factories.sales import order_of, packed, ready
from tests.factories.stock import BoxFactory, LineFactory, batch_of, there
from tests.factories.workshops import WorkshopFactory
from tests.refusals import refused
from tests.sales.forms import fill, shown

As = Callable[[User], Client]
BACK = date(2024, 9, 16)


def where(job: Job, name: str) -> str:
    """The address of a page about a job."""
    return reverse(f"sales:{name}", args=[job.pk])


def two_lines() -> tuple[Line, Line]:
    """Two lines with ten bunches each."""
    one, other = LineFactory(), LineFactory()
    for line in (one, other):
        batch_of(line, 10)
    return one, other


def test_bunches_and_stems_go_along_in_one_step(owner: User) -> None:
    """Two lines and a lot, three takings."""
    (one, other), lot, job = two_lines(), LotFactory(stems=50), JobFactory()

    assert take_along(by=owner, work=job, on=HELD, bunches={other: 3, one: 2}, stems={lot: 20}) == job

    assert dict(still_out_of(job)) == {one: 2, other: 3, lot: 20}


def test_all_or_none(owner: User) -> None:
    """The lot has too few stems: no bunches are taken either."""
    (one, _other), lot, job = two_lines(), LotFactory(stems=5), JobFactory()

    with refused("too_many"):
        take_along(by=owner, work=job, on=HELD, bunches={one: 2}, stems={lot: 6})
    with refused("nothing_said"):
        take_along(by=owner, work=job, on=HELD)
    assert not Taken.objects.exists()


def test_what_comes_back_is_taken_off_the_last_taking_first(owner: User) -> None:
    """Three and two were taken; four back are the two and two of the three, into the box; of the stems eight of the later ten."""
    stock, box, lot, job = ready(20), BoxFactory(), LotFactory(stems=50), JobFactory()
    first = take_bunches_for(by=owner, work=job, on=HELD, line=stock.line, bunches=3)
    second = take_bunches_for(by=owner, work=job, on=HELD, line=stock.line, bunches=2)
    for stems in (5, 10):
        take_stems_for(by=owner, work=job, on=HELD, lot=lot, stems=stems)

    bring_back_from(by=owner, work=job, on=BACK, bunches={stock.line: 4}, stems={lot: 8}, box=box)

    rows = CameBack.objects.order_by("pk").values_list("taken", "quantity")
    assert list(rows) == [(second.pk, 2), (first.pk, 2)]
    assert (dict(still_out_of(job)), stems_left_ever(lot)) == ({stock.line: 1, lot: 7}, 43)
    assert there(stock.batch) == [(stock.box.code, 15), (box.code, 4)]


def test_more_stems_than_the_last_taking_took(owner: User) -> None:
    """Twelve back of five and then ten: the ten are undone, two of the five come back."""
    lot, job = LotFactory(stems=50), JobFactory()
    for stems in (5, 10):
        take_stems_for(by=owner, work=job, on=HELD, lot=lot, stems=stems)

    bring_back_from(by=owner, work=job, on=BACK, stems={lot: 12})

    assert list(Taken.objects.standing().values_list("quantity", flat=True)) == [3]


def test_no_more_comes_back_than_is_out_that_day(owner: User) -> None:
    """Three out on the 14th, none the day before, nothing of another line; a cancelled job gives back."""
    stock, job = ready(20), JobFactory()
    take_bunches_for(by=owner, work=job, on=HELD, line=stock.line, bunches=3)

    for on, line, bunches in ((BACK, stock.line, 4), (HELD - timedelta(1), stock.line, 1), (BACK, LineFactory(), 1)):
        with refused("too_many"):
            bring_back_from(by=owner, work=job, on=on, bunches={line: bunches})
    with refused("too_few"):
        bring_back_from(by=owner, work=job, on=BACK, bunches={stock.line: 0})
    with refused("nothing_said"):
        bring_back_from(by=owner, work=job, on=BACK)
    cancel_job(by=owner, job=job, on=HELD)
    bring_back_from(by=owner, work=job, on=BACK, bunches={stock.line: 3})
    assert still_out_of(job) == {}


def test_pressed_twice_it_goes_along_once(owner: User, hand: User) -> None:
    """By a hand, too."""
    stock, workshop = ready(20), WorkshopFactory()
    given = {"by": hand, "work": workshop, "on": date(2024, 11, 16), "bunches": {stock.line: 3}, "key": "a-key"}

    assert take_along(**given) == take_along(**given) == workshop
    assert Taken.objects.count() == 1


def test_a_bookkeeper_takes_nothing_along(owner: User, bookkeeper: User) -> None:
    """Nor brings anything back."""
    for verb in (take_along, bring_back_from):
        with pytest.raises(PermissionDenied):
            verb(by=bookkeeper, work=JobFactory(), on=HELD, bunches={ready(2).line: 1})


def test_what_is_needed_is_proposed_and_wants_a_tick(owner: User, client_as: As) -> None:
    """Twenty stems for each of two pieces are four bunches, two of them kept; unticked nothing is taken."""
    stock, job = ready(20), JobFactory()
    piece_of(job, stock, 20)
    kept_for(job, stock, 2)
    client, url = client_as(owner), where(job, "take_for_job")

    form = client.get(url).context["form"]
    [row] = form.needed_rows()
    assert (row.heading, form[f"n_{stock.line.pk}"].value()) == (stock.line, 4)
    assert row.note == f"4 still to take · 2 kept · A1 {stock.box.code}: 20"
    assert fill(client, url, on=HELD.isoformat()).status_code == 422

    answer = fill(client, url, on=HELD.isoformat(), **{f"tick_{stock.line.pk}": "on"})
    assert (answer.status_code, answer["Location"]) == (302, job.get_absolute_url())
    assert Taken.objects.get().quantity == 4


def test_another_number_typed_counts_without_the_tick(owner: User, client_as: As) -> None:
    """Five instead of the four proposed; ticked with no number it is refused on that field."""
    stock, job = ready(20), JobFactory()
    piece_of(job, stock, 20)
    client, url, name = client_as(owner), where(job, "take_for_job"), f"n_{stock.line.pk}"

    refused_answer = fill(client, url, on=HELD.isoformat(), **{f"tick_{stock.line.pk}": "on", name: ""})
    fill(client, url, on=HELD.isoformat(), **{name: 5})

    assert list(refused_answer.context["form"].errors) == [name]
    assert Taken.objects.get().quantity == 5


def left_untouched(owner: User) -> tuple[Job, Line, Line]:
    """A job that needs five bunches of one line and three of another, of which there are just as many."""
    one, other, job = LineFactory(), LineFactory(), JobFactory()
    for line, bunches in ((one, 5), (other, 3)):
        batch_of(line, bunches, on=date(2024, 8, 1))
        add_piece(by=owner, job=job, on=ASKED_ABOUT, name=f"piece of {bunches}", quantity=1, price=2000,
                  parts=[Part(10 * bunches, line=line)])
    return job, one, other


def test_a_proposal_left_untouched_is_not_taken_though_less_is_needed_by_now(owner: User, client_as: As) -> None:
    """Two of the five are taken from another phone while this page is open, where only the other line is ticked."""
    job, one, other = left_untouched(owner)
    client, url = client_as(owner), where(job, "take_for_job")
    sent = {**shown(client, url), "on": HELD.isoformat(), f"tick_{other.pk}": "on"}
    take_bunches_for(by=owner, work=job, on=HELD, line=one, bunches=2)

    assert client.post(url, sent).status_code == 302
    assert dict(still_out_of(job)) == {one: 2, other: 3}


def test_two_pages_that_waited_on_one_phone_take_each_its_own(owner: User, client_as: As) -> None:
    """Both opened before either was sent, a line ticked on each; by the second the first line is all gone."""
    job, one, other = left_untouched(owner)
    client, url = client_as(owner), where(job, "take_for_job")
    sent = [{**shown(client, url), "on": HELD.isoformat(), f"tick_{line.pk}": "on"} for line in (one, other)]

    assert [client.post(url, page).status_code for page in sent] == [302, 302]
    assert dict(still_out_of(job)) == {one: 5, other: 3}


def test_a_number_typed_counts_though_it_is_what_is_needed_by_now(owner: User, client_as: As) -> None:
    """Five were proposed and three typed; meanwhile two went from elsewhere, and three are needed."""
    job, one, _other = left_untouched(owner)
    client, url = client_as(owner), where(job, "take_for_job")
    sent = {**shown(client, url), "on": HELD.isoformat(), f"n_{one.pk}": 3}
    take_bunches_for(by=owner, work=job, on=HELD, line=one, bunches=2)

    assert client.post(url, sent).status_code == 302
    assert dict(still_out_of(job)) == {one: 5}


def test_what_was_ticked_is_taken_though_none_is_needed_by_now(owner: User, client_as: As) -> None:
    """It was taken. Refused for its day it stands there ticked as before; a line gone from the record is said."""
    job, one, other = left_untouched(owner)
    batch_of(one, 5)
    client, url = client_as(owner), where(job, "take_for_job")
    sent = {**shown(client, url), f"tick_{one.pk}": "on"}
    gone = {**shown(client, url), f"tick_{other.pk}": "on", "on": HELD.isoformat()}
    take_along(by=owner, work=job, on=HELD, bunches={one: 5, other: 3})

    again = client.post(url, {**sent, "on": "2024-08-01"}).context["form"]
    assert [(row.heading, row.fields[0].value()) for row in again.needed_rows()] == [(one, True)]
    assert client.post(url, {**sent, "on": HELD.isoformat()}).status_code == 302
    assert dict(still_out_of(job)) == {one: 10, other: 3}
    assert client.post(url, gone).context["form"].has_error("__all__", "stale_form")


def test_without_the_proposal_it_began_from_a_row_needs_its_tick(owner: User, client_as: As) -> None:
    """A number alone may be one that stood there already."""
    job, one, _other = left_untouched(owner)
    client, url = client_as(owner), where(job, "take_for_job")
    sent = {name: value for name, value in shown(client, url).items() if not name.startswith("was_")}

    assert client.post(url, {**sent, "on": HELD.isoformat(), f"n_{one.pk}": 4}).status_code == 422
    client.post(url, {**sent, "on": HELD.isoformat(), f"n_{one.pk}": 4, f"tick_{one.pk}": "on"})
    assert dict(still_out_of(job)) == {one: 4}


def test_a_line_the_record_has_none_of_can_be_taken(owner: User, client_as: As) -> None:
    """All ten were sold by the record; two more taken are found, to be checked; a line without its number is refused."""
    stock, job = ready(2), JobFactory()
    take_bunches_for(by=owner, work=job, on=HELD, line=stock.line, bunches=2)
    client, url = client_as(owner), where(job, "take_for_job")

    assert fill(client, url, other=stock.line.pk).context["form"].errors["other_n"] == ["Name the line and how many."]
    fill(client, url, on=HELD.isoformat(), other=stock.line.pk, other_n=2)

    assert list(job.taken.values_list("quantity", flat=True)) == [2, 2]


def test_from_one_box_only_what_is_in_it_is_offered(owner: User, client_as: As) -> None:
    """Four in the box, all others left out; they come out of that box, and a parcel is no such box."""
    stock, job, box = ready(20), JobFactory(), BoxFactory()
    young = batch_of(stock.line, 4, on=date(2024, 8, 9), box=box)
    parcel = packed(order_of(stock, 1), stock, 1).parcel.box
    client, url = client_as(owner), where(job, "take_for_job")

    form = client.get(url, {"box": box.pk}).context["form"]
    assert [(row.heading, row.note) for row in form.other_rows()] == [(stock.line, "4 in it")]
    client.post(f"{url}?box={box.pk}", {**shown(client, f"{url}?box={box.pk}"), "on": HELD.isoformat(), f"n_{stock.line.pk}": 3})

    assert there(young) == [(box.code, 1)]
    assert client.get(url, {"box": parcel.pk}).status_code == 404


def test_stems_in_water_are_taken_from_their_page(owner: User, client_as: As) -> None:
    """The variety a piece needs comes first, with as many as are needed and there."""
    other, lot, job = LotFactory(stems=30), LotFactory(stems=50), JobFactory()
    add_piece(by=owner, job=job, on=ASKED_ABOUT, name="posy", quantity=2, price=2000,
              parts=[Part(12, variety=lot.planting.variety)])
    client, url = client_as(owner), where(job, "take_stems_for_job")

    form = client.get(url).context["form"]
    assert [row.heading for row in form.needed_rows()] == [lot] and [row.heading for row in form.other_rows()] == [other]
    fill(client, url, on=HELD.isoformat(), **{f"tick_{lot.pk}": "on", f"n_{other.pk}": 5})

    assert dict(still_out_of(job)) == {lot: 24, other: 5}


def test_what_came_back_is_put_away_from_its_page(owner: User, client_as: As) -> None:
    """Two bunches into a box and three stems into water."""
    stock, box, lot, job = ready(20), BoxFactory(), LotFactory(stems=50), JobFactory()
    take_along(by=owner, work=job, on=HELD, bunches={stock.line: 3}, stems={lot: 10})
    client, url = client_as(owner), where(job, "back_for_job")

    assert fill(client, url, on=BACK.isoformat()).status_code == 422
    fill(client, url, on=BACK.isoformat(), box=box.pk, **{f"n_{stock.line.pk}": 2, f"stems_{lot.pk}": 3})

    assert dict(still_out_of(job)) == {stock.line: 1, lot: 7}
    assert (box.code, 2) in there(stock.batch)


def test_of_one_taking_all_that_is_out_is_proposed_into_its_box(owner: User, client_as: As) -> None:
    """Bunches go back where they came from unless another box is named; stems into water without a day."""
    stock, lot, job = ready(20), LotFactory(stems=50), JobFactory()
    dried = take_bunches_for(by=owner, work=job, on=HELD, line=stock.line, bunches=3)
    fresh = take_stems_for(by=owner, work=job, on=HELD, lot=lot, stems=10)
    client = client_as(owner)
    urls = [reverse("sales:back_from_job", args=[one.pk]) for one in (dried, fresh)]

    said = [shown(client, url) for url in urls]
    assert (said[0]["bunches"], said[0]["box"], said[1]["stems"], "on" in said[1]) == (3, stock.box.pk, 10, False)
    fill(client, urls[0], on=BACK.isoformat(), bunches=2)
    fill(client, urls[1], stems=4)

    assert dict(still_out_of(job)) == {stock.line: 1, lot: 6}


def test_undoing_from_the_pages(owner: User, hand: User, client_as: As) -> None:
    """First what came back, then the taking, by a hand."""
    stock, job = ready(20), JobFactory()
    taken = take_bunches_for(by=owner, work=job, on=HELD, line=stock.line, bunches=3)
    bring_back_from(by=owner, work=job, on=BACK, bunches={stock.line: 1})
    client = client_as(hand)
    undo = reverse("sales:undo_taken", args=[taken.pk])

    assert fill(client, undo).status_code == 422
    fill(client, reverse("sales:undo_came_back", args=[CameBack.objects.get().pk]))
    assert fill(client, undo)["Location"] == job.get_absolute_url()
    with refused("already_undone"):
        undo_came_back(by=owner, came_back=CameBack.objects.get())


def statements(client: Client, lines: int) -> int:
    """How many statements the page for a job costs that needs half of so many lines."""
    job = JobFactory()
    for number in range(lines):
        stock = ready(3)
        if number % 2:
            piece_of(job, stock, 10, quantity=1)
    client.get(where(job, "take_for_job"))
    with CaptureQueriesContext(connection) as asked:
        client.get(where(job, "take_for_job"))
    return len(asked)


def test_the_page_asks_the_same_however_many_lines_there_are(owner: User, client_as: As) -> None:
    """Four lines, then sixteen more."""
    client = client_as(owner)

    assert statements(client, 4) == statements(client, 16) < 40


def test_rows_of_a_taking_say_what_they_belong_to_and_offer_no_undoing(owner: User, client_as: As) -> None:
    """The stock book's rows that went and came back, and the lot's page, lead to the job."""
    stock, lot, job = ready(20), LotFactory(stems=50), JobFactory()
    take_along(by=owner, work=job, on=HELD, bunches={stock.line: 3}, stems={lot: 10})
    bring_back_from(by=owner, work=job, on=BACK, bunches={stock.line: 1})
    client = client_as(owner)
    rows = Movement.objects.filter(Q(taken_row__isnull=False) | Q(came_back_row__isnull=False))
    pages = {client.get(one.get_absolute_url()).content.decode() for one in (*rows, lot)}

    assert len(pages) == 3
    assert all(job.get_absolute_url() in page for page in pages)
    parting = lot.partings.get()
    assert not any(reverse("growing:undo_parting", args=[parting.pk]) in page for page in pages)
    assert not any(reverse("stock:undo_movement", args=[one.pk]) in page for page in pages for one in rows)
