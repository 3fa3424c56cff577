"""Pages of jobs and workshops say first how it stands and what comes next; ways of selling are said, not guessed."""

from collections.abc import Callable
from datetime import date

import pytest
from django.test import Client
from django.urls import reverse

from ledger.facts.models import User
from ledger.pricing.models import Way
from ledger.sales.actions import agree_job, call_off, cancel_job, change_job, hold_workshop, take_bunches_for
from ledger.sales.models import Job
from tests.factories.jobs import AGREED, HELD, JobFactory, PieceFactory, job_done
from tests.factories.pricing import StallFactory
from tests.factories.sales import ready
from tests.factories.workshops import HELD as WORKSHOP_HELD
from tests.factories.workshops import WorkshopFactory

As = Callable[[User], Client]
TO_COME = date(2036, 5, 1)


def names(client: Client, one: object) -> tuple[list[str], int]:
    """What comes next on a page by the last word of its address, and how many links stand at the foot."""
    context = client.get(one.get_absolute_url()).context  # type: ignore[attr-defined]
    return [link.url.rstrip("/").rsplit("/", 1)[1] for link in context["links"]], len(context["more"])


def a_job(stands: str, owner: User) -> Job:
    """A job of one piece that stands so."""
    job = PieceFactory().job
    if stands in ("agreed", "to come"):
        agree_job(by=owner, job=job, on=AGREED)
    if stands == "to come":
        change_job(by=owner, job=job, on=AGREED, held_on=TO_COME)
    if stands == "done":
        job_done(job)
    if stands == "cancelled":
        cancel_job(by=owner, job=job, on=AGREED)
    return job


@pytest.mark.parametrize(("stands", "first"), [
    ("asked", ["agree", "pieces"]), ("to come", ["keep-what-it-needs", "take"]), ("agreed", ["done", "take"]),
    ("done", ["invoice"]), ("cancelled", []),
])
def test_a_job_shows_what_comes_next_first(owner: User, client_as: As, stands: str, first: list[str]) -> None:
    """At most three links before its facts, whatever stands at the foot, none of them twice."""
    job = a_job(stands, owner)
    paths = {"agree": "agree_job", "pieces": "add_piece", "keep-what-it-needs": "keep_all_for_job", "take": "take_for_job",
             "done": "do_job", "invoice": "invoice_job"}
    client = client_as(owner)
    context = client.get(job.get_absolute_url()).context

    assert [link.url for link in context["links"]] == [reverse(f"sales:{paths[one]}", args=[job.pk]) for one in first]
    assert not {link.url for link in context["links"]} & {link.url for link in context["more"]}
    assert len(context["more"]) >= 6


def test_a_job_from_which_something_came_back_begins_with_that(owner: User, client_as: As) -> None:
    """Done and taken for: invoice it, then put back."""
    job, stock = PieceFactory().job, ready()
    take_bunches_for(by=owner, work=job, on=HELD, line=stock.line, bunches=1)
    job_done(job)
    links = client_as(owner).get(job.get_absolute_url()).context["links"]
    assert [link.url for link in links] == [reverse(f"sales:{name}", args=[job.pk]) for name in ("invoice_job", "back_for_job")]


def test_the_facts_come_before_the_rest_of_the_links(owner: User, client_as: As) -> None:
    """Of a job and of a workshop."""
    client = client_as(owner)
    for one in (JobFactory(), WorkshopFactory()):
        page = client.get(one.get_absolute_url()).content.decode()
        places = [page.index(part) for part in ('class="subject"', 'class="can"', '<dl class="facts">', 'id="more"')]
        assert places == sorted(places)


def test_a_workshop_shows_what_comes_next_first(owner: User, client_as: As) -> None:
    """To come: its places; on its day: that it was held; over: nothing but what came back."""
    client = client_as(owner)
    to_come, past, held, off = WorkshopFactory(held_on=TO_COME), WorkshopFactory(), WorkshopFactory(), WorkshopFactory()
    hold_workshop(by=owner, workshop=held, on=WORKSHOP_HELD)
    call_off(by=owner, workshop=off, on=WORKSHOP_HELD)
    assert [names(client, one)[0] for one in (to_come, past, held, off)] == [["sell-places", "take"], ["held"], [], []]
    assert all(names(client, one)[1] >= 5 for one in (to_come, past, held, off))


@pytest.mark.parametrize(("kinds", "chosen"), [(["made_up"], True), (["made_up", "made_up"], False), (["stall"], False)])
def test_a_jobs_way_is_chosen_only_where_one_fits(owner: User, client_as: As, kinds: list[str], chosen: bool) -> None:
    """One way of made-up work, two of them, none."""
    ways = [StallFactory(kind=kind) for kind in kinds]
    form = client_as(owner).get(reverse("sales:new_job")).context["form"]
    assert form["way"].value() == (ways[0].pk if chosen else None)


@pytest.mark.parametrize("number", [1, 2])
def test_a_workshops_way_is_chosen_only_where_there_is_no_other(owner: User, client_as: As, number: int) -> None:
    """Prices, fees and margin follow it."""
    for _way in range(number):
        StallFactory()
    form = client_as(owner).get(reverse("sales:new_workshop")).context["form"]
    assert form["way"].value() == (Way.objects.get().pk if number == 1 else None)


@pytest.mark.parametrize(("held_on", "warns"), [(TO_COME, True), (HELD, False)])
def test_done_before_its_day_is_warned_of(owner: User, client_as: As, held_on: date, warns: bool) -> None:
    """Income before its day, and what is kept is free: said on the form, with the way to move the day."""
    job = PieceFactory().job
    if held_on != HELD:
        change_job(by=owner, job=job, on=AGREED, held_on=held_on)
    page = client_as(owner).get(reverse("sales:do_job", args=[job.pk])).content.decode()
    assert ("Its day is only" in page, reverse("sales:change_job", args=[job.pk]) in page) == (warns, warns)
