"""The pages of things for hire."""

from collections.abc import Callable
from datetime import date, timedelta

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from ledger.facts.models import User
from ledger.sales.actions import bring_hire_back, cancel_job, count_hire_item, send_out
from ledger.sales.models import HireBack, HireItem, HireItemCount, HireOut, JobHire
from ledger.sales.queries.hire import owned_on, short_from
from ledger.sales.queries.workshop_notes import workshop_notes
from tests.factories.jobs import JobFactory
from tests.factories.workshops import FIRST, LAST, PLANNED, HireFactory, HireItemFactory, WorkshopFactory
from tests.sales.forms import fill, shown

As = Callable[[User], Client]


def test_a_thing_is_added_from_its_form(owner: User, client_as: As) -> None:
    """With how many there are."""
    answer = fill(
        client_as(owner), reverse("sales:new_hire_item"), name="Jar", owned=12, charge="1.50", breakage="4.00", on="2024-03-01"
    )

    item = HireItem.objects.get()
    assert (answer["Location"], item.charge, item.breakage) == (item.get_absolute_url(), 150, 400)
    assert owned_on(item, date(2024, 3, 1)) == 12


def test_a_changed_form_says_what_it_showed(owner: User, client_as: As) -> None:
    """The charge is changed; a form opened before that is refused on its field."""
    item, client = HireItemFactory(charge=150), client_as(owner)
    url = reverse("sales:change_hire_item", args=[item.pk])
    before = shown(client, url)

    assert client.post(url, {**before, "charge": "1.75"}).status_code == 302
    late = client.post(url, {**before, "form_key": "another-key", "charge": "1.80"})

    item.refresh_from_db()
    assert (item.charge, late.status_code, list(late.context["form"].errors)) == (175, 422, ["charge"])


def test_its_page_says_where_they_are_and_what_is_too_few(owner: User, client_as: As) -> None:
    """Of twelve ten are promised, three broken in another job and three still out there, overdue: four too few from the 13th."""
    hire = HireFactory()
    other = HireFactory(item=hire.item, quantity=2, first_day=PLANNED, last_day=PLANNED)
    send_out(by=owner, hire=other, on=PLANNED, quantity=6)
    bring_hire_back(by=owner, hire=other, on=PLANNED, whole=0, broken=3)
    client = client_as(owner)

    said = client.get(hire.item.get_absolute_url()).content.decode()

    assert short_from(hire.item, PLANNED) == (FIRST, 4)
    for what in (str(hire.job), str(other.job), "12 more", "1.50", "4.00", reverse("sales:hire_back", args=[other.pk])):
        assert what in said, what
    assert reverse("sales:hire_back", args=[hire.pk]) not in said
    listed = client.get(reverse("sales:hire_items"), {"is_out": "true"}).context["object_list"]
    assert [(row.owned, row.out) for row in listed] == [(9, 3)]


def test_a_hand_sees_no_money(owner: User, hand: User, client_as: As) -> None:
    """Neither in the list nor on the page nor when something comes back; what is broken is charged all the same."""
    hire, client = HireFactory(), client_as(hand)
    fill(client, reverse("sales:send_out", args=[hire.pk]), on=FIRST.isoformat())
    url = reverse("sales:hire_back", args=[hire.pk])
    pages = (reverse("sales:hire_items"), hire.item.get_absolute_url(), url)

    words = "".join(client.get(page).content.decode() for page in pages)
    fill(client, url, on=LAST.isoformat(), whole=9, broken=1)

    assert "1.50" not in words and "4.00" not in words and "charge" not in client.get(url).context["form"].fields
    assert (HireOut.objects.get().quantity, HireBack.objects.get().charge) == (10, 400)


def test_a_hire_is_planned_around_the_day_of_the_job(owner: User, client_as: As) -> None:
    """From the job's day to the day after, at what is proposed; more than are free is refused on its field."""
    item, job, client = HireItemFactory(), JobFactory(), client_as(owner)
    url = reverse("sales:plan_hire", args=[job.pk])

    many = fill(client, url, on=PLANNED.isoformat(), item=item.pk, quantity=13)
    answer = fill(client, url, on=PLANNED.isoformat(), item=item.pk, quantity=12)

    hire = JobHire.objects.get()
    assert many.context["form"].errors["quantity"] == [f"Only 12 of {item} are free on all of those days."]
    assert answer["Location"] == job.get_absolute_url()
    assert (hire.first_day, hire.last_day, hire.price) == (job.held_on, date(2024, 9, 15), 150)


def test_without_things_for_hire_the_page_says_where_to_begin(owner: User, client_as: As) -> None:
    """A link to add one."""
    said = client_as(owner).get(reverse("sales:plan_hire", args=[JobFactory().pk])).content.decode()

    assert reverse("sales:new_hire_item") in said


def test_what_comes_back_is_proposed_and_charged(owner: User, client_as: As) -> None:
    """All ten whole; two broken ones cost what the hire says unless another sum is typed."""
    hire, client = HireFactory(), client_as(owner)
    send_out(by=owner, hire=hire, on=FIRST, quantity=10)
    url = reverse("sales:hire_back", args=[hire.pk])

    assert shown(client, url)["whole"] == 10
    assert fill(client, url, on=LAST.isoformat(), whole="", broken="").status_code == 422
    fill(client, url, on=LAST.isoformat(), whole=4, broken=2)
    fill(client, url, on=LAST.isoformat(), whole=3, broken=1, charge="2.50")

    assert list(HireBack.objects.order_by("pk").values_list("whole", "broken", "charge")) == [(4, 2, 800), (3, 1, 250)]


@pytest.mark.parametrize(("more", "status"), [("0", 422), ("-13", 422), ("-3", 302)])
def test_more_and_fewer_from_the_page(owner: User, client_as: As, more: str, status: int) -> None:
    """Nil says nothing, and there are never fewer than none."""
    item, client = HireItemFactory(), client_as(owner)

    answer = fill(client, reverse("sales:count_hire_item", args=[item.pk]), on=PLANNED.isoformat(), more=more, why="given away")

    assert answer.status_code == status
    if status == 302:
        assert "3 fewer, given away" in client.get(item.get_absolute_url()).content.decode()


def test_all_of_it_is_undone_from_the_pages(owner: User, client_as: As) -> None:
    """What came back, what left, the plan, the count."""
    hire, client = HireFactory(), client_as(owner)
    out = send_out(by=owner, hire=hire, on=FIRST, quantity=10)
    back = bring_hire_back(by=owner, hire=hire, on=LAST, whole=10)
    count = count_hire_item(by=owner, item=hire.item, on=PLANNED, more=1)

    for name, fact in (("hire_back", back), ("hire_out", out), ("plan_hire", hire), ("hire_item_count", count)):
        assert fill(client, reverse(f"sales:undo_{name}", args=[fact.pk])).status_code == 302, name

    standing = (HireBack, HireOut, JobHire)
    assert not any(model.objects.standing().exists() for model in standing)
    assert HireItemCount.objects.standing().count() == 1


def statements(client: Client, item: HireItem) -> int:
    """How many statements the page of a thing costs."""
    client.get(item.get_absolute_url())
    with CaptureQueriesContext(connection) as asked:
        client.get(item.get_absolute_url())
    return len(asked)


def test_the_page_asks_the_same_however_many_hires_there_are(owner: User, client_as: As) -> None:
    """One hire of one, then six more of which one is cancelled."""
    item, client = HireItemFactory(), client_as(owner)
    HireFactory(item=item, quantity=1)
    few = statements(client, item)
    for _n in range(6):
        hire = HireFactory(item=item, quantity=1)
    send_out(by=owner, hire=hire, on=FIRST, quantity=1)
    cancel_job(by=owner, job=hire.job, on=FIRST)

    assert statements(client, item) == few < 25


def test_too_few_and_past_workshops_are_said_today(owner: User, hand: User) -> None:
    """Three of twelve jars are given away while ten are promised to a job; a workshop is past its day. A hand hears nothing."""
    hire, workshop = HireFactory(), WorkshopFactory()
    count_hire_item(by=owner, item=hire.item, on=PLANNED, more=-3)

    assert list(workshop_notes(hand, workshop.held_on)) == [] == list(workshop_notes(owner, LAST + timedelta(1)))
    assert [url for _says, url in workshop_notes(owner, PLANNED)] == [hire.item.get_absolute_url()]
    [(says, url)] = workshop_notes(owner, workshop.held_on + timedelta(1))
    assert (says, url) == ("1 workshop is past its day, not said to be held", f"{reverse('sales:workshops')}?state=past")
