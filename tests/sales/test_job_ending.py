"""Jobs cancelled or done."""

from ledger.sales import actions
from ledger.sales.models import Job
from tests.factories.jobs import HELD, JobFactory, deposited, job_done, kept_for, piece_of
from tests.factories.sales import ready


def test_a_job_is_quoted_kept_for_and_done(owner):
    """Its pieces are charged as they stood, and what was kept and not taken is free."""
    stock, job = ready(20), JobFactory()
    piece_of(job, stock, 35, quantity=2, price=4500)
    kept_for(job, stock, 7)
    deposited(job, 2000)
    actions.agree_job(by=owner, job=job, on=job.on)
    done = job_done(job)
    assert [(one.description, one.quantity, one.price) for one in done.charges.all()] == [("bouquet", 2, 4500)]
    stands = Job.objects.with_standing().get(pk=job.pk)
    assert (stands.stands_as, stands.quoted, stands.deposits_held, stands.kept) == ("done", 9000, 2000, 0)
    actions.undo_job_done(by=owner, job_done=done)
    stands = Job.objects.with_standing().get(pk=job.pk)
    assert (stands.stands_as, stands.kept) == ("agreed", 7)
    cancelled = actions.cancel_job(by=owner, job=job, on=HELD, kept=500)
    stands = Job.objects.with_standing().get(pk=job.pk)
    assert (stands.stands_as, stands.deposits_held, stands.kept) == ("cancelled", 0, 0)
    actions.undo_cancelling(by=owner, job_cancelled=cancelled)
    stands = Job.objects.with_standing().get(pk=job.pk)
    assert (stands.stands_as, stands.deposits_held, stands.kept) == ("agreed", 2000, 7)
