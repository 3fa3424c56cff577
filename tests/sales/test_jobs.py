"""Jobs: asked about, said anew, agreed to, undone."""

from datetime import date
from uuid import uuid4

import pytest
from django.core.exceptions import PermissionDenied

from ledger.facts.models import User
from ledger.sales.actions import (
    agree_job,
    blank_customer,
    cancel_job,
    change_job,
    give_back_deposit,
    invoice_job,
    open_job,
    undo_agreement,
    undo_job,
    undo_job_change,
)
from ledger.sales.models import Job
from ledger.sales.queries.jobs import STATES, job_stands
from ledger.stock.models import Balance
from tests.factories.daybook import WorkFactory
from tests.factories.jobs import (
    AGREED,
    ASKED_ABOUT,
    HELD,
    OVER,
    JobFactory,
    PieceFactory,
    deposited,
    job_done,
    kept_for,
    piece_of,
)
from tests.factories.pricing import StallFactory
from tests.factories.sales import CustomerFactory, ready
from tests.refusals import refused

ANEW = date(2024, 8, 10)


def stands(job: Job) -> Job:
    """The job as the lists see it."""
    return Job.objects.with_standing().get(pk=job.pk)


def test_a_job_is_asked_about_for_a_day_to_come(owner: User) -> None:
    """Its day may lie ahead of today; the day it was asked about may not."""
    job = JobFactory(on=ASKED_ABOUT, held_on=date(2031, 6, 7), name="Barn wedding")

    assert (STATES[job_stands(job)], job.said.held_on) == ("asked about", date(2031, 6, 7))
    assert str(job) == f"Barn wedding, job {job.pk}" == job.cost_object.label
    with refused("not_yet"):
        JobFactory(on=date(2031, 1, 1), held_on=date(2031, 6, 7))


def test_a_job_may_be_on_the_day_it_was_asked_about_but_not_before(owner: User) -> None:
    """A funeral is asked about in the morning; yesterday's is not."""
    assert JobFactory(on=HELD, held_on=HELD)
    with refused("too_early"):
        JobFactory(on=OVER, held_on=HELD)


def test_a_customer_whose_details_were_removed_asks_about_nothing(owner: User) -> None:
    """There is nobody to quote to."""
    gone = blank_customer(by=owner, customer=CustomerFactory())
    with refused("blanked"):
        JobFactory(customer=gone)


def test_a_customer_is_kept_by_name_until_their_jobs_are_settled(owner: User) -> None:
    """Asked about, done and not invoiced, a deposit held, an invoice owed: each in turn stands in the way."""
    job = PieceFactory(quantity=1, price=4500).job
    deposited(job, 5000)
    steps = [
        lambda: job_done(job), lambda: invoice_job(by=owner, job=job, on=OVER),
        lambda: give_back_deposit(by=owner, job=job, on=OVER, amount=500),
    ]
    for settle in steps:
        with refused("still_open"):
            blank_customer(by=owner, customer=job.customer)
        settle()
    assert blank_customer(by=owner, customer=job.customer).blanked_at


def test_a_cancelled_job_keeps_no_name(owner: User) -> None:
    """What was held went back."""
    job = JobFactory()
    deposited(job, 5000)
    cancel_job(by=owner, job=job, on=AGREED)
    assert blank_customer(by=owner, customer=job.customer).blanked_at


def test_a_second_press_opens_one_job(owner: User) -> None:
    """The form's key finds the first."""
    asked = {
        "by": owner, "key": str(uuid4()), "on": ASKED_ABOUT, "name": "Supper", "kind": "event", "customer": CustomerFactory(),
        "way": StallFactory(), "held_on": HELD,
    }
    assert open_job(**asked) == open_job(**asked)
    assert Job.objects.count() == 1


@pytest.mark.parametrize("who", ["hand", "bookkeeper"])
def test_who_may_not_sell_opens_no_job(who: str, request: pytest.FixtureRequest, owner: User) -> None:
    """Quoting is the seller's."""
    by = request.getfixturevalue(who)
    with pytest.raises(PermissionDenied):
        open_job(
            by=by, on=ASKED_ABOUT, name="Supper", kind="event", customer=CustomerFactory(), way=StallFactory(), held_on=HELD
        )


def test_a_seller_opens_agrees_and_undoes(seller: User) -> None:
    """All of it is theirs."""
    job = open_job(
        by=seller, on=ASKED_ABOUT, name="Supper", kind="event", customer=CustomerFactory(), way=StallFactory(), held_on=HELD
    )
    undo_agreement(by=seller, job_agreed=agree_job(by=seller, job=job, on=AGREED))
    assert not undo_job(by=seller, job=job).stands


def test_a_kind_of_job_nobody_knows_is_refused(owner: User) -> None:
    """The database and the form know the same five."""
    with refused("invalid_choice"):
        JobFactory(kind="circus")


def test_what_is_said_last_holds(owner: User) -> None:
    """The latest standing change, else the job itself; undone in either order."""
    job = JobFactory(note="in white")
    first = change_job(by=owner, job=job, on=ANEW, held_on=OVER, good_until=HELD, note="in white")
    second = change_job(by=owner, job=job, on=ANEW, held_on=HELD, note="in red")
    assert (stands(job).held_on_now, stands(job).good_until_now, Job.objects.get(pk=job.pk).said.note) == (HELD, None, "in red")

    undo_job_change(by=owner, job_change=first)
    assert stands(job).held_on_now == HELD
    undo_job_change(by=owner, job_change=second)
    assert (stands(job).held_on_now, stands(job).good_until_now, Job.objects.get(pk=job.pk).said) == (HELD, None, job)


def test_what_is_said_anew_is_refused_where_it_cannot_be(owner: User) -> None:
    """Before the job was asked about, before it was last said, for a day before, or nothing new."""
    job = JobFactory()
    with refused("too_early"):
        change_job(by=owner, job=job, on=date(2024, 8, 4), held_on=OVER)
    with refused("too_early"):
        change_job(by=owner, job=job, on=ANEW, held_on=date(2024, 8, 4))
    with refused("unchanged"):
        change_job(by=owner, job=job, on=ANEW, held_on=HELD)
    assert change_job(by=owner, job=job, on=ANEW, held_on=ASKED_ABOUT)
    with refused("too_early"):
        change_job(by=owner, job=Job.objects.get(pk=job.pk), on=date(2024, 8, 9), held_on=OVER)


def test_a_job_is_agreed_once(owner: User) -> None:
    """Not before it was asked about; undone, it is asked about again and can be agreed anew."""
    job = JobFactory()
    with refused("too_early"):
        agree_job(by=owner, job=job, on=date(2024, 8, 4))
    agreed = agree_job(by=owner, job=job, on=ASKED_ABOUT)
    assert job_stands(job) == "agreed"
    with refused("agreed_already"):
        agree_job(by=owner, job=job, on=AGREED)

    undo_agreement(by=owner, job_agreed=agreed)
    assert job_stands(job) == "asked"
    with refused("already_undone"):
        undo_agreement(by=owner, job_agreed=agreed)
    assert agree_job(by=owner, job=job, on=AGREED)


def test_an_agreement_can_be_undone_when_the_job_is_done(owner: User) -> None:
    """It stays done: that was no matter of agreeing."""
    piece = PieceFactory()
    agreed = agree_job(by=owner, job=piece.job, on=AGREED)
    job_done(piece.job)
    undo_agreement(by=owner, job_agreed=agreed)
    assert job_stands(piece.job) == "done"


def test_a_job_over_is_not_changed(owner: User) -> None:
    """Neither when cancelled nor when done."""
    cancelled, done = JobFactory(), PieceFactory().job
    cancel_job(by=owner, job=cancelled, on=AGREED)
    job_done(done)
    for job in (cancelled, done):
        with refused("job_over"):
            change_job(by=owner, job=job, on=OVER, held_on=OVER)
        with refused("job_over"):
            agree_job(by=owner, job=job, on=OVER)


def test_a_job_undone_takes_with_it_what_was_planned(owner: User) -> None:
    """Its pieces and changes, and the bunches kept are free again."""
    stock, job = ready(20), JobFactory()
    piece = piece_of(job, stock, 35)
    change = change_job(by=owner, job=job, on=ANEW, held_on=OVER)
    kept_for(job, stock, 7)

    undo_job(by=owner, job=job)

    for row in (piece, change):
        row.refresh_from_db()
    assert (piece.stands, change.stands, Balance.objects.get(line=stock.line).held) == (False, False, 0)
    with refused("undone"):
        undo_job(by=owner, job=job)


@pytest.mark.parametrize("rests", ["agreement", "deposit", "work"])
def test_a_job_something_came_of_is_not_undone(owner: User, rests: str) -> None:
    """Agreed, paid for ahead or worked on: that is undone first, or the job cancelled."""
    job = JobFactory()
    if rests == "agreement":
        agree_job(by=owner, job=job, on=AGREED)
    elif rests == "deposit":
        deposited(job, 5000)
    else:
        WorkFactory(on=AGREED, minutes=30, spent_on=[(job.cost_object, 1)])
    with refused("rested_on"):
        undo_job(by=owner, job=job)


def test_nothing_is_done_with_a_job_undone_meanwhile(owner: User) -> None:
    """The form was opened before."""
    job = JobFactory()
    undo_job(by=owner, job=job)
    with refused("undone"):
        agree_job(by=owner, job=job, on=AGREED)
    with refused("undone"):
        change_job(by=owner, job=job, on=ANEW, held_on=OVER)


def test_jobs_are_found_by_their_day_as_last_said(owner: User) -> None:
    """Moved by a day, it is found there; done or cancelled, it is not open."""
    early, late, done = JobFactory(), JobFactory(), PieceFactory().job
    change_job(by=owner, job=late, on=ANEW, held_on=OVER)
    job_done(done)

    on_the_day = Job.objects.held_between(HELD, HELD)
    assert set(on_the_day) == {early, done}
    assert list(Job.objects.held_between(OVER, OVER)) == [late]
    assert set(Job.objects.open()) == {early, late}


def test_sums_of_a_job_do_not_multiply_each_other(owner: User) -> None:
    """Two pieces, two deposits, two lines kept: each is summed apart."""
    job, first, second = JobFactory(), ready(10), ready(10)
    for stock, bunches in ((first, 3), (second, 4)):
        piece_of(job, stock, 10, quantity=2, price=4500)
        kept_for(job, stock, bunches)
    deposited(job, 1000)
    deposited(job, 500)

    found = stands(job)
    assert (found.quoted, found.deposits_in, found.deposits_held, found.kept) == (18000, 1500, 1500, 7)


def test_the_list_of_jobs_asks_once(owner: User, django_assert_num_queries: pytest.FixtureRequest) -> None:
    """However many jobs there are."""
    for _ in range(3):
        PieceFactory()
    with django_assert_num_queries(1):  # type: ignore[operator]
        assert len(Job.objects.standing().whole().with_standing()) == 3
