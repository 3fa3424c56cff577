"""Jobs cancelled or done, and both undone."""

from datetime import date
from uuid import uuid4

import pytest
from django.core.exceptions import PermissionDenied

from ledger.facts.actions import set_tax_rate, set_tax_status
from ledger.facts.models import User
from ledger.sales import actions
from ledger.sales.actions import cancel_job, do_job, undo_cancelling, undo_job_done
from ledger.sales.models import HireItem, Job, JobCancelled, JobDone
from ledger.stock.actions import write_off
from ledger.stock.models import Balance, Hold
from tests.factories.jobs import (
    AGREED,
    ASKED_ABOUT,
    HELD,
    KEPT,
    OVER,
    JobFactory,
    PieceFactory,
    deposited,
    job_done,
    kept_for,
    piece_of,
)
from tests.factories.sales import Ready, order_of, ready
from tests.refusals import refused

LATER = date(2024, 8, 25)


def stands(job: Job) -> tuple[str, int, int]:
    """Its state, the deposits held and the bunches kept."""
    found = Job.objects.with_standing().get(pk=job.pk)
    return found.stands_as, found.deposits_held, found.kept


def free(stock: Ready) -> int:
    """What nobody is promised."""
    return Balance.objects.get(line=stock.line).free


def short_of(job: Job) -> int:
    """What its holds were left short of."""
    return sum(hold.short for hold in Hold.objects.standing().with_short().filter(job_hold__job=job))


def at_twenty_per_cent(owner: User) -> None:
    """The seller is registered; 20 % from the first of the year."""
    set_tax_status(by=owner, on=date(2024, 1, 1), status="registered", number="123")
    set_tax_rate(by=owner, on=date(2024, 1, 1), rate_bp=2000)


def hired(owner: User, job: Job, *, price: int = 800) -> HireItem:
    """Six of a vase hired out with a job at a price each."""
    vase = actions.add_hire_item(by=owner, name="Tall vase", charge=800, breakage=2500, owned=10, on=ASKED_ABOUT)
    actions.plan_hire(by=owner, job=job, on=AGREED, item=vase, quantity=6, first_day=HELD, last_day=OVER, price=price)
    return vase


def test_a_cancelled_job_frees_its_bunches_and_keeps_what_is_said_of_the_deposit(owner: User) -> None:
    """Of fifty twenty are kept, thirty go back at once; the seven bunches are anybody's."""
    stock, job = ready(20), JobFactory()
    kept_for(job, stock, 7)
    deposited(job, 5000)

    cancelled = cancel_job(by=owner, job=job, on=LATER, kept=2000, why=" the hall burnt down ")

    assert (cancelled.kept, cancelled.given_back.amount, cancelled.given_back.on) == (2000, -3000, LATER)
    assert (stands(job), free(stock), cancelled.why, cancelled.rate_bp) == (("cancelled", 0, 0), 20, "the hall burnt down", 0)


@pytest.mark.parametrize(("kept", "taxed", "rate"), [(2000, True, 2000), (2000, False, 0), (0, True, 0)])
def test_a_deposit_kept_is_taxed_only_where_it_is_said(owner: User, kept: int, taxed: bool, rate: int) -> None:
    """At the rate of that day; nothing kept holds no tax."""
    at_twenty_per_cent(owner)
    job = JobFactory()
    deposited(job, 5000)
    assert cancel_job(by=owner, job=job, on=LATER, kept=kept, taxed=taxed).rate_bp == rate


def test_all_or_nothing_of_a_deposit_can_be_kept(owner: User) -> None:
    """All: nothing goes back. None held: nothing to say."""
    all_kept, none_held = JobFactory(), JobFactory()
    deposited(all_kept, 5000)
    assert cancel_job(by=owner, job=all_kept, on=LATER, kept=5000).given_back is None
    assert cancel_job(by=owner, job=none_held, on=LATER).given_back is None
    assert (stands(all_kept), stands(none_held)) == (("cancelled", 0, 0), ("cancelled", 0, 0))


@pytest.mark.parametrize("kept", [5001, -1])
def test_more_than_is_held_cannot_be_kept(owner: User, kept: int) -> None:
    """Nor less than nothing."""
    job = JobFactory()
    deposited(job, 5000)
    with refused("too_much"):
        cancel_job(by=owner, job=job, on=LATER, kept=kept)
    assert stands(job) == ("asked", 5000, 0)


def test_a_job_is_not_cancelled_before_what_happened_of_it(owner: User) -> None:
    """Before it was asked about, paid ahead for, or taken for."""
    stock, job = ready(20), JobFactory()
    with refused("too_early"):
        cancel_job(by=owner, job=job, on=date(2024, 8, 4))
    deposited(job, 5000, on=KEPT)
    with refused("too_early"):
        cancel_job(by=owner, job=job, on=AGREED)
    actions.take_bunches_for(by=owner, work=job, on=LATER, line=stock.line, bunches=2)
    with refused("too_early"):
        cancel_job(by=owner, job=job, on=KEPT)
    assert cancel_job(by=owner, job=job, on=LATER)


def test_a_cancelling_undone_holds_and_keeps_as_before(owner: User) -> None:
    """Deposits, bunches of both lines, and what one of them was short of."""
    first, second, job = ready(20), ready(10), JobFactory()
    kept_for(job, first, 7)
    kept_for(job, second, 8)
    write_off(by=owner, on=LATER, batch=second.batch, box=second.box, bunches=5, reason="moths")
    deposited(job, 5000)
    actions.agree_job(by=owner, job=job, on=AGREED)

    cancelled = cancel_job(by=owner, job=job, on=LATER, kept=2000)
    assert (stands(job), short_of(job), free(first), free(second)) == (("cancelled", 0, 0), 0, 20, 5)
    undo_cancelling(by=owner, job_cancelled=cancelled)

    assert (stands(job), short_of(job), free(first), free(second)) == (("agreed", 5000, 12), 3, 13, 0)
    with refused("already_undone"):
        undo_cancelling(by=owner, job_cancelled=cancelled)
    assert cancel_job(by=owner, job=job, on=LATER)


def test_a_cancelling_is_not_undone_when_the_bunches_are_promised_to_others(owner: User) -> None:
    """All of it stays as it is until they are given back."""
    stock, job = ready(20), JobFactory()
    kept_for(job, stock, 7)
    deposited(job, 5000)
    cancelled = cancel_job(by=owner, job=job, on=LATER)
    order = order_of(stock, 14)
    with refused("not_free"):
        undo_cancelling(by=owner, job_cancelled=cancelled)
    assert stands(job) == ("cancelled", 0, 0)
    actions.undo_order(by=owner, order=order)
    undo_cancelling(by=owner, job_cancelled=cancelled)
    assert stands(job) == ("asked", 5000, 7)


def test_what_was_kept_on_a_later_day_is_free_from_that_day_on(owner: User) -> None:
    """A cancelling entered late, for a day before the last keeping."""
    stock, job = ready(20), JobFactory()
    kept_for(job, stock, 7, on=LATER)
    cancelled = cancel_job(by=owner, job=job, on=KEPT)
    assert [row.change.on for row in cancelled.freed.all()] == [LATER]
    undo_cancelling(by=owner, job_cancelled=cancelled)
    assert stands(job) == ("asked", 0, 7)


def test_a_job_done_is_charged_as_it_stands(owner: User) -> None:
    """Pieces and hires, in words, at their prices; the tax rate is that of the day."""
    at_twenty_per_cent(owner)
    job = JobFactory()
    PieceFactory(job=job, quantity=2, price=4500)
    actions.drop_piece(by=owner, piece=PieceFactory(job=job, name="arch"))
    PieceFactory(job=job, name="delivery", quantity=1, price=0)
    hired(owner, job)

    done = job_done(job)

    assert [(one.description, one.quantity, one.price, one.amount) for one in done.charges.all()] == [
        ("bouquet", 2, 4500, 9000), ("delivery", 1, 0, 0), ("Hire of Tall vase", 6, 800, 4800),
    ]
    assert (done.rate_bp, stands(job)[0], Job.objects.with_quoted().get(pk=job.pk).quoted) == (2000, "done", 13800)


def test_hires_alone_are_something_to_charge(owner: User) -> None:
    """Nothing at all is not."""
    job, nothing = JobFactory(), JobFactory()
    hired(owner, job)
    assert job_done(job).charges.count() == 1
    with refused("nothing_to_charge"):
        job_done(nothing)


def test_a_job_done_lets_go_what_it_did_not_need(owner: User) -> None:
    """Of eight kept six are taken, two free again; undone, they are kept again, unless promised meanwhile."""
    stock, job = ready(20), JobFactory()
    piece_of(job, stock, 35)
    kept_for(job, stock, 8)
    actions.take_bunches_for(by=owner, work=job, on=HELD, line=stock.line, bunches=6)
    done = job_done(job)
    assert (stands(job), free(stock)) == (("done", 0, 0), 14)

    order = order_of(stock, 13, on=HELD)
    with refused("not_free"):
        undo_job_done(by=owner, job_done=done)
    actions.undo_order(by=owner, order=order)
    undo_job_done(by=owner, job_done=done)
    assert (stands(job), free(stock)) == (("asked", 0, 2), 12)
    with refused("already_undone"):
        undo_job_done(by=owner, job_done=done)
    assert job_done(job)


def test_a_job_done_owes_no_more_what_it_was_short_of(owner: User) -> None:
    """It was done without; undone, it is short again."""
    stock, job = ready(10), PieceFactory().job
    kept_for(job, stock, 8)
    write_off(by=owner, on=LATER, batch=stock.batch, box=stock.box, bunches=10, reason="moths")
    assert short_of(job) == 8
    done = job_done(job)
    assert short_of(job) == 0
    undo_job_done(by=owner, job_done=done)
    assert (short_of(job), stands(job)) == (8, ("asked", 0, 0))


def test_an_invoiced_job_stays_done(owner: User) -> None:
    """An invoice is never undone; also not when all of it was credited."""
    job = PieceFactory().job
    done = job_done(job)
    invoice = actions.invoice_job(by=owner, job=job, on=OVER)
    lines = [(line, line.quantity) for line in invoice.lines.all()]
    actions.credit(by=owner, invoice=invoice, on=OVER, lines=lines, why="not as agreed")
    with refused("invoiced"):
        undo_job_done(by=owner, job_done=done)


def test_a_job_need_not_be_agreed_nor_done_on_its_day(owner: User) -> None:
    """It happened; only not before it was asked about nor ahead of today."""
    job = PieceFactory().job
    with refused("too_early"):
        job_done(job, on=date(2024, 8, 4))
    with refused("not_yet"):
        job_done(job, on=date(2031, 1, 1))
    assert job_done(job, on=ASKED_ABOUT).on < job.held_on


def test_a_job_ends_once(owner: User) -> None:
    """Neither done twice, nor cancelled twice, nor one after the other."""
    done, cancelled = PieceFactory().job, PieceFactory().job
    job_done(done)
    cancel_job(by=owner, job=cancelled, on=LATER)
    for job in (done, cancelled):
        with refused("job_over"):
            job_done(job, on=OVER)
        with refused("job_over"):
            cancel_job(by=owner, job=job, on=OVER)


def test_bunches_can_come_back_to_a_job_that_is_over(owner: User) -> None:
    """Forgotten in the van; what was forgotten to be noted as taken can be entered for a job done, not for one cancelled."""
    stock, job = ready(20), PieceFactory().job
    taken = actions.take_bunches_for(by=owner, work=job, on=HELD, line=stock.line, bunches=6)
    job_done(job)
    actions.bring_bunches_back(by=owner, taken=taken, on=OVER, bunches=2, box=stock.box)
    assert actions.take_bunches_for(by=owner, work=job, on=OVER, line=stock.line, bunches=1)
    assert free(stock) == 15


def test_a_second_press_ends_a_job_once(owner: User) -> None:
    """Done as well as cancelled."""
    job, other = PieceFactory().job, JobFactory()
    doing = {"by": owner, "key": str(uuid4()), "job": job, "on": HELD}
    assert do_job(**doing) == do_job(**doing)
    cancelling = {"by": owner, "key": str(uuid4()), "job": other, "on": HELD}
    assert cancel_job(**cancelling) == cancel_job(**cancelling)
    assert (JobDone.objects.count(), JobCancelled.objects.count()) == (1, 1)


@pytest.mark.parametrize("who", ["hand", "bookkeeper"])
def test_who_may_not_sell_ends_no_job(who: str, request: pytest.FixtureRequest, owner: User) -> None:
    """Nor undoes its end."""
    by, job, other = request.getfixturevalue(who), PieceFactory().job, PieceFactory().job
    done = job_done(job)
    cancelled = cancel_job(by=owner, job=other, on=HELD)
    for verb in (
        lambda: do_job(by=by, job=job, on=HELD), lambda: cancel_job(by=by, job=job, on=HELD),
        lambda: undo_job_done(by=by, job_done=done), lambda: undo_cancelling(by=by, job_cancelled=cancelled),
    ):
        with pytest.raises(PermissionDenied):
            verb()
