"""Jobs: asked about, said anew, agreed to, and undone."""

from __future__ import annotations

from datetime import date

from django.utils.translation import gettext_lazy as _

from ledger.facts.actions import undo_within
from ledger.facts.models import User
from ledger.facts.writing import action, keep, mark_undone, open_cost_object, record, refusal, require_standing
from ledger.pricing.models import Way
from ledger.sales.models import Customer, Job, JobAgreed, JobChange
from ledger.sales.queries.job_sets import CANCELLED, DONE
from ledger.sales.queries.jobs import STATES, job_stands
from ledger.stock.actions import lock_lines, undo_hold
from ledger.stock.models import Hold

from .customers import require_named


@action("selling")
def open_job(
    *, by: User, on: date, name: str, kind: str, customer: Customer, way: Way, held_on: date, good_until: date | None = None,
    note: str = "",
) -> Job:
    """Record that somebody asked about a job for a day to come; pieces, hires and prices follow."""
    require_named(customer)
    if held_on < on:
        raise refusal("held_on", _("It was asked about only on %(on)s."), code="too_early", on=on)
    cost_object = open_cost_object("job", "–")
    job = Job(
        cost_object=cost_object, on=on, name=name, kind=kind, customer=customer, way=way, held_on=held_on,
        good_until=good_until, note=note,
    )
    cost_object.label = str(job)[:200]
    keep(cost_object)
    return record(job, by=by)


@action("selling")
def undo_job(*, by: User, job: Job) -> Job:
    """Undo a job nothing came of; its pieces, what was said anew and what was kept for it go with it."""
    job = lock_job(job)
    holds = list(Hold.objects.standing().filter(job_hold__job=job).order_by("line"))
    lock_lines(hold.line_id for hold in holds)
    for part in (*job.pieces.standing(), *job.said_anew.standing()):
        mark_undone(part, by=by)
    job = mark_undone(job, by=by)
    for hold in holds:
        undo_hold(by=by, hold=hold)
    return job


@action("selling")
def change_job(
    *, by: User, job: Job, on: date, held_on: date, good_until: date | None = None, note: str = ""
) -> JobChange:
    """Say anew on which day a job is, how long its quote is good, and its note."""
    job = lock_open_job(job, on)
    said = job.said
    if on < said.on:
        raise refusal("on", _("It was said so only on %(on)s."), code="too_early", on=said.on)
    if held_on < job.on:
        raise refusal("held_on", _("It was asked about only on %(on)s."), code="too_early", on=job.on)
    if (held_on, good_until, note) == (said.held_on, said.good_until, said.note):
        raise refusal(None, _("Nothing is changed by that."), code="unchanged")
    return record(JobChange(on=on, job=job, held_on=held_on, good_until=good_until, note=note), by=by)


@action("selling")
def undo_job_change(*, by: User, job_change: JobChange) -> JobChange:
    """Undo what was said anew: what was said before holds again."""
    return undo_within(job_change, by=by)


@action("selling")
def agree_job(*, by: User, job: Job, on: date) -> JobAgreed:
    """Note that the customer agreed to the quote as it stands."""
    job = lock_open_job(job, on)
    if job.agreements.standing().exists():
        raise refusal(None, _("That job is agreed already."), code="agreed_already")
    return record(JobAgreed(on=on, job=job), by=by)


@action("selling")
def undo_agreement(*, by: User, job_agreed: JobAgreed) -> JobAgreed:
    """Undo an agreement: the job is asked about again."""
    lock_job(job_agreed.job)
    return undo_within(job_agreed, by=by)


def lock_job(job: Job, on: date | None = None) -> Job:
    """The job as it stands now, locked; refused when it was undone or, on a day, not yet asked about."""
    job = Job.objects.lock(job)
    require_standing(job)
    if on is not None and on < job.on:
        raise refusal("on", _("It was asked about only on %(on)s."), code="too_early", on=job.on)
    return job


def lock_open_job(job: Job, on: date | None = None) -> Job:
    """The job, locked, still to be done."""
    job = lock_job(job, on)
    require_open(job)
    return job


def require_open(job: Job) -> None:
    """Refuse to change a job that is done or cancelled."""
    stands = job_stands(job)
    if stands in (DONE, CANCELLED):
        raise refusal(None, _("The job is %(stands)s. Undo that first."), code="job_over", stands=STATES[stands])
