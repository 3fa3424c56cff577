"""What a job done or a workshop held lacks is said beside what it left, on its sheet and wherever the margin is listed."""

from datetime import date

import pytest
from django.urls import reverse

from ledger.books.queries.margins import each_sale, margins
from ledger.books.queries.work_missing import missing_of
from ledger.daybook import actions as daybook
from ledger.facts.models import CostKind
from ledger.sales import actions as sales
from tests.books.wedding import ASKED_ABOUT, BACK, BILLED, DONE, HELD, OFFERED, ON, asked_about, grown, take, wedding, workshop

AUTUMN = (date(2024, 9, 1), ON)


def just_done(owner, made, **given):
    """A wedding of which 110 minutes and a ribbon were planned, nothing entered."""
    job = asked_about(owner, made, **given)
    take(owner, made, job, bunches=2)
    sales.do_job(by=owner, job=job, on=DONE)
    return job


def noted(owner, made, work, minutes=60, on=DONE):
    """So many minutes of paid work on it."""
    daybook.note_work(
        by=owner, worker=made.thread.worker, on=on, minutes=minutes, task="selling", spent_on=[(work.cost_object, 1)]
    )


def bought(owner, work, on=DONE):
    """A ribbon for it."""
    line = daybook.BoughtLine("ribbon", CostKind.objects.get(code="craft"), 400, 0, [(work.cost_object, 1)])
    daybook.record_purchase(by=owner, on=on, supplier="Haberdasher", lines=[line])


def of_job(job, on=ON):
    """What it lacks."""
    return missing_of([("job", job.pk)], on).get(("job", job.pk))


def test_planned_hours_and_things_bought_in_are_missed_until_entered(owner):
    """110 minutes are 1.8 hours; each goes once one entry of it is there."""
    made = grown(owner)
    job = just_done(owner, made)
    assert of_job(job).says == [
        "1.8 hours are planned and none noted: note the work, or what was left is too much.",
        "To be used or bought in, and nothing of it entered: ribbon. Enter it, or what was left is too much.",
    ]
    noted(owner, made, job)
    assert (of_job(job).hours, of_job(job).things) == (False, ["ribbon"])
    bought(owner, job)
    assert of_job(job) is None


def test_nothing_is_missed_of_a_job_to_come_or_cancelled_or_before_it_was_done(owner):
    """It may still come, or need not come any more."""
    made = grown(owner)
    to_come, off, job = (asked_about(owner, made, name=name) for name in ("Elm", "Oak", "Yew"))
    sales.cancel_job(by=owner, job=off, on=BILLED, kept=4000)
    sales.do_job(by=owner, job=job, on=DONE)
    assert (of_job(to_come), of_job(off), of_job(job, ASKED_ABOUT)) == (None, None, None)
    assert missing_of([], ON) == {}


def test_bunches_planned_and_none_taken_are_missed(owner, client_as):
    """Done without a taking; the sheet leads to where each thing missing is entered."""
    made = grown(owner)
    job = asked_about(owner, made)
    sales.do_job(by=owner, job=job, on=DONE)
    assert of_job(job).says[1].startswith("Bunches or fresh stems are planned and none was taken")
    links = client_as(owner).get(reverse("books:job_margin", args=[job.pk])).context["links"]
    assert [str(link.label) for link in links[2:]] == [
        "Note work on it", "Take bunches for it", "Enter a purchase for it", "Use a material for it"
    ]
    take(owner, made, job, bunches=2)
    assert not of_job(job).goods


def test_a_job_without_a_plan_lacks_nothing(owner):
    """No minutes and no parts planned: nobody said that any should come."""
    made = grown(owner)
    job = asked_about(owner, made)
    for piece in job.pieces.standing():
        sales.drop_piece(by=owner, piece=piece)
    sales.do_job(by=owner, job=job, on=DONE)
    assert of_job(job) is None


def test_a_workshop_held_lacks_hours_and_one_called_off_does_not(owner):
    """Nothing is planned of a workshop, but somebody was there."""
    made = grown(owner)
    one, off = (
        sales.offer_workshop(by=owner, on=OFFERED, name=name, way=made.way, held_on=HELD, places=4, price=4500)
        for name in ("Wreaths", "Posies")
    )
    sales.hold_workshop(by=owner, workshop=one, on=HELD)
    sales.call_off(by=owner, workshop=off, on=HELD)
    keys = [("workshop", one.pk), ("workshop", off.pk)]
    assert {key: found.says for key, found in missing_of(keys, ON).items()} == {
        keys[0]: ["No hours are noted: note the work, or what was left is too much."]
    }
    noted(owner, made, one, on=HELD)
    assert missing_of(keys, ON) == {}


def test_many_things_are_named_in_short(owner):
    """Four by name, the rest by number; one planned in two pieces is named once."""
    made = grown(owner)
    job = asked_about(owner, made)
    parts = [sales.Part(1, bought=name, cost=100) for name in ("ribbon", "sash", "wire", "foam", "pins", "moss")]
    sales.add_piece(by=owner, job=job, on=ASKED_ABOUT, name="Arch", quantity=1, price=100, parts=parts)
    sales.do_job(by=owner, job=job, on=DONE)
    assert "entered: ribbon, sash, wire, foam and 2 more." in of_job(job).says[-1]


def test_more_work_costs_no_further_statement(owner, django_assert_num_queries):
    """Six and one of the book, for one as for three."""
    made = grown(owner)
    jobs = [just_done(owner, made, name=name, deposit=0) for name in ("Elm", "Oak", "Yew")]
    missing_of([("job", jobs[0].pk)], ON)
    for several in (jobs[:1], jobs):
        with django_assert_num_queries(7):
            assert len(missing_of([("job", job.pk) for job in several], ON)) == len(several)


@pytest.mark.parametrize("name", ["job_margin", "margins"])
def test_no_share_left_is_said_as_if_it_were_known(owner, client_as, name):
    """On the sheet and in the list by job; once all is entered, it is said."""
    made, client = grown(owner), client_as(owner)
    job = just_done(owner, made)
    url = reverse(f"books:{name}", args=[job.pk] if name == "job_margin" else [])
    asked = {"first": "2024-09-01", "last": "2024-12-31", "by": "job"}

    page = client.get(url, asked).content.decode()
    assert "1.8 hours are planned and none noted" in page and "net was left cannot be said yet" in page
    assert "cannot say yet" in page and "% was left" not in page

    noted(owner, made, job)
    bought(owner, job)
    page = client.get(url, asked).content.decode()
    assert "cannot be said yet" not in page and "cannot say yet" not in page and " was left" in page


def test_a_cancelled_jobs_share_is_of_the_deposit_kept(owner, client_as):
    """Nothing planned need come; what was kept is what it brought."""
    job = asked_about(owner, grown(owner))
    sales.cancel_job(by=owner, job=job, on=BILLED, kept=4000)
    page = client_as(owner).get(reverse("books:job_margin", args=[job.pk])).content.decode()
    assert "It was cancelled: nothing that was planned need come. Of what was kept of the deposit, " in page


def test_the_papers_say_it_too(owner, client_as):
    """Both papers come."""
    job = just_done(owner, grown(owner))
    asked = {"first": "2024-09-01", "last": "2024-12-31", "by": "job"}
    client = client_as(owner)
    assert client.get(reverse("books:job_margin_paper", args=[job.pk])).status_code == 200
    assert client.get(reverse("books:margins_paper"), asked).status_code == 200


def test_beside_work_that_lacks_nothing_a_share_is_at_most(owner, client_as):
    """A workshop with its hours and a wedding without: in all at most so much; each line of the wedding cannot say."""
    made = grown(owner)
    job = just_done(owner, made)
    workshop(owner, made)
    found = margins("job", *AUTUMN, ON)
    assert [(row.lacking, row.unsaid) for row in found.rows] == [(0, False), (2, True)]
    assert (found.total.lacking, found.total.unsaid) == (2, False)
    assert {row.unsaid for line, row in each_sale(found) if line.of.spent_on == job.pk} == {True}

    page = client_as(owner).get(reverse("books:margins"), {"first": "2024-09-01", "last": "2024-12-31", "by": "way"})
    assert "At most" in page.content.decode() and reverse("books:job_margin", args=[job.pk]) in page.content.decode()


def test_hire_and_what_was_broken_of_it_are_told_apart(owner, client_as):
    """Two jars hired and one of them broken are two rows of what it brought in."""
    job = wedding(owner, grown(owner))
    income = client_as(owner).get(reverse("books:job_margin", args=[job.pk])).context["income"]
    assert [(str(what), line.on) for line, what in income] == [
        ("the job", DONE), ("hire", DONE), ("broken or lost of the hire", BACK)
    ]
