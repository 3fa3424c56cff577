"""Deposits of a job: paid ahead, given back, used, kept; never more out than in on any day."""

from collections.abc import Callable
from datetime import date
from itertools import permutations
from uuid import uuid4

import pytest
from django.core.exceptions import PermissionDenied
from django.test import Client
from django.urls import reverse

from ledger.facts.models import User
from ledger.sales.actions import (
    cancel_job,
    give_back_deposit,
    invoice_job,
    take_deposit,
    undo_cancelling,
    undo_deposit,
    undo_payment,
    use_deposit,
)
from ledger.sales.models import Deposit, Job
from ledger.sales.queries.jobs import deposits_held, lowest_deposits_held
from tests.factories.jobs import AGREED, ASKED_ABOUT, HELD, KEPT, OVER, JobFactory, PieceFactory, deposited, job_done
from tests.refusals import refused


def back(owner: User, job: Job, amount: int, *, on: date = KEPT) -> Deposit:
    """So much given back."""
    return give_back_deposit(by=owner, job=job, on=on, amount=amount, how="transfer")


def test_deposits_are_held_until_they_are_given_back(owner: User) -> None:
    """Fifty and twenty in, thirty out: forty are owed to the customer."""
    job = JobFactory()
    deposited(job, 5000, on=AGREED)
    deposited(job, 2000, on=KEPT)
    returned = back(owner, job, 3000)

    assert (deposits_held(job), returned.amount, returned.how) == (4000, -3000, "transfer")
    assert (lowest_deposits_held(job, AGREED), lowest_deposits_held(job, ASKED_ABOUT)) == (4000, 0)


def test_no_more_is_given_back_than_is_held_from_that_day_on(owner: User) -> None:
    """What came later was not there before; what goes later is spoken for."""
    job = JobFactory()
    deposited(job, 5000, on=AGREED)
    deposited(job, 2000, on=HELD)
    with refused("too_much"):
        back(owner, job, 5001, on=KEPT)
    back(owner, job, 6500, on=HELD)
    with refused("too_much"):
        back(owner, job, 501, on=KEPT)
    assert back(owner, job, 500, on=KEPT)
    assert deposits_held(job) == 0


@pytest.mark.parametrize("verb", [take_deposit, give_back_deposit])
@pytest.mark.parametrize(
    ("code", "on", "amount"),
    [("too_few", AGREED, 0), ("too_few", AGREED, -1), ("too_early", date(2024, 8, 4), 1), ("not_yet", date(2031, 1, 1), 1)],
)
def test_what_no_deposit_can_be_is_refused(owner: User, verb: object, code: str, on: date, amount: int) -> None:
    """Nothing, less than nothing, before the job was asked about, ahead of today."""
    job = JobFactory()
    deposited(job, 100, on=ASKED_ABOUT)
    with refused(code):
        verb(by=owner, job=job, on=on, amount=amount)  # type: ignore[operator]


def test_a_deposit_is_undone_as_long_as_nothing_went_out_of_it(owner: User) -> None:
    """Given back since: that first."""
    job = JobFactory()
    deposited(job, 5000)
    first = job.deposits.get()
    returned = back(owner, job, 1)
    with refused("deposit_used"):
        undo_deposit(by=owner, deposit=first)
    undo_deposit(by=owner, deposit=returned)
    undo_deposit(by=owner, deposit=first)
    assert deposits_held(job) == 0
    with refused("already_undone"):
        undo_deposit(by=owner, deposit=first)


@pytest.mark.parametrize("order", list(permutations(range(4))))
def test_deposits_undone_in_any_order_are_never_below_nothing(owner: User, order: tuple[int, ...]) -> None:
    """In 3, in 3, out 4, out 1: an undoing is refused just where some day would have held less than nothing."""
    job = JobFactory()
    for day, amount in ((AGREED, 3), (KEPT, 3)):
        deposited(job, amount, on=day)
    for day, amount in ((KEPT, 4), (HELD, 1)):
        back(owner, job, amount, on=day)
    rows = list(job.deposits.order_by("pk"))
    standing = dict(enumerate(rows))
    for place in order:
        left = [row for one, row in standing.items() if one != place]
        days = sorted({row.on for row in left})
        if any(sum(row.amount for row in left if row.on <= day) < 0 for day in days):
            with refused("deposit_used"):
                undo_deposit(by=owner, deposit=rows[place])
        else:
            undo_deposit(by=owner, deposit=standing.pop(place))
    assert deposits_held(job) == sum(row.amount for row in standing.values()) >= 0


def test_what_was_used_on_an_invoice_is_not_there_to_give_back(owner: User) -> None:
    """Undone there, it is held again and can be given back even though the job is done."""
    job = PieceFactory(quantity=1, price=4500).job
    deposited(job, 5000)
    job_done(job)
    invoice = invoice_job(by=owner, job=job, on=OVER)
    assert (deposits_held(job), Job.objects.with_deposits().get(pk=job.pk).deposits_on_invoices) == (500, 4500)

    with refused("too_much"):
        back(owner, job, 501, on=OVER)
    with refused("deposit_used"):
        undo_deposit(by=owner, deposit=job.deposits.get())
    back(owner, job, 500, on=OVER)
    undo_payment(by=owner, payment=invoice.payments.get())
    assert back(owner, job, 4500, on=OVER)


def test_what_was_given_back_with_the_cancelling_is_undone_with_it(owner: User) -> None:
    """Not by itself."""
    job = JobFactory()
    deposited(job, 5000)
    cancelled = cancel_job(by=owner, job=job, on=KEPT, kept=2000)
    with refused("part_of_more"):
        undo_deposit(by=owner, deposit=cancelled.given_back)
    with refused("deposit_used"):
        undo_deposit(by=owner, deposit=job.deposits.earliest("pk"))
    undo_cancelling(by=owner, job_cancelled=cancelled)
    assert deposits_held(job) == 5000


def test_a_deposit_entered_late_is_used_on_the_invoice_already_issued(owner: User) -> None:
    """Paid in August, entered once the job was done and invoiced: held, used, undone again; the paper stays as it was."""
    job = PieceFactory(quantity=1, price=4500).job
    job_done(job)
    invoice = invoice_job(by=owner, job=job, on=OVER)
    deposited(job, 1000, on=KEPT)
    assert deposits_held(job) == 1000

    used = use_deposit(by=owner, invoice=invoice, on=OVER)

    assert (used.amount, deposits_held(job), invoice.deposit) == (1000, 0, 0)
    undo_payment(by=owner, payment=used)
    assert back(owner, job, 1000, on=OVER)


def test_a_deposit_of_a_cancelled_job_came_before_the_cancelling(owner: User) -> None:
    """One forgotten is entered and given back; what comes after it is ahead of nothing."""
    job = JobFactory()
    cancel_job(by=owner, job=job, on=KEPT)
    with refused("job_over"):
        deposited(job, 1, on=OVER)
    deposited(job, 1000, on=KEPT)
    assert back(owner, job, 1000, on=OVER)
    assert deposits_held(job) == 0


def test_the_page_of_a_job_done_offers_a_deposit_entered_late(owner: User, client_as: Callable[[User], Client]) -> None:
    """And undoes one, as nothing was used of it."""
    job = PieceFactory(quantity=1, price=4500).job
    job_done(job)
    deposited(job, 1000, on=KEPT)
    page = client_as(owner).get(job.get_absolute_url()).content.decode()
    for name, pk in (("take_deposit", job.pk), ("undo_deposit", job.deposits.get().pk)):
        assert reverse(f"sales:{name}", args=[pk]) in page


def test_a_second_press_takes_one_deposit(owner: User) -> None:
    """And gives back once."""
    job = JobFactory()
    taking = {"by": owner, "key": str(uuid4()), "job": job, "on": AGREED, "amount": 500}
    assert take_deposit(**taking) == take_deposit(**taking)
    giving = {"by": owner, "key": str(uuid4()), "job": job, "on": AGREED, "amount": 200}
    assert give_back_deposit(**giving) == give_back_deposit(**giving)
    assert deposits_held(job) == 300


@pytest.mark.parametrize("who", ["hand", "bookkeeper"])
def test_who_may_not_sell_takes_no_deposit(who: str, request: pytest.FixtureRequest, owner: User) -> None:
    """Nor gives one back, nor undoes one."""
    by, job = request.getfixturevalue(who), JobFactory()
    deposited(job, 500)
    for verb in (
        lambda: take_deposit(by=by, job=job, on=AGREED, amount=1),
        lambda: give_back_deposit(by=by, job=job, on=AGREED, amount=1),
        lambda: undo_deposit(by=by, deposit=job.deposits.get()),
    ):
        with pytest.raises(PermissionDenied):
            verb()
