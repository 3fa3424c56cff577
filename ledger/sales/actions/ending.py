"""The end of a job: cancelled, or done."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from itertools import groupby

from django.db.models import Max
from django.utils.translation import gettext_lazy as _

from ledger.facts.models import User
from ledger.facts.queries import tax_rate_on
from ledger.facts.writing import action, keep, mark_undone, record, refusal
from ledger.pricing.queries.words import in_money
from ledger.sales.models import Deposit, InvoiceLine, Job, JobCancelled, JobCharge, JobDone, JobFreed, JobHire, JobLetGo, JobPiece
from ledger.sales.queries.jobs import deposits_held
from ledger.stock.actions import give_up, lock_lines, undo_hold_changes
from ledger.stock.models import Hold, HoldChange

from .jobs import lock_job, lock_open_job


@action("selling")
def cancel_job(*, by: User, job: Job, on: date, kept: int = 0, taxed: bool = False, why: str = "") -> JobCancelled:
    """Cancel a job: its bunches are free again; of its deposits `kept` is income of that day, the rest is given back at once.

    `kept` in minor units, with tax in it where it is `taxed`.
    """
    job = lock_open_job(job, on)
    _require_last(job, on)
    held = deposits_held(job)
    if not 0 <= kept <= held:
        raise refusal("kept", _("Only %(held)s is held of its deposits."), code="too_much", held=in_money(held))
    back = record(Deposit(on=on, job=job, amount=kept - held), by=by) if held > kept else None
    rate = tax_rate_on(on) if taxed and kept else 0
    cancelled = record(JobCancelled(on=on, job=job, why=why.strip(), kept=kept, rate_bp=rate, given_back=back), by=by)
    for change in _free_all(by, job, on):
        keep(JobFreed(cancelled=cancelled, change=change))
    return cancelled


def _require_last(job: Job, on: date) -> None:
    """Refuse a day before the last deposit or taking: a job is not over before that."""
    days = [rows.standing().aggregate(last=Max("on"))["last"] for rows in (job.deposits, job.deposits_used, job.taken)]
    last = max((day for day in days if day), default=on)
    if on < last:
        raise refusal("on", _("Something was paid or taken for it on %(on)s."), code="too_early", on=last)


def _free_all(by: User, job: Job, on: date) -> list[HoldChange]:
    """Give back all that the job's holds keep and owe no more what they were left short of.

    Each on that day or on the last day it changed; returns the changes.
    """
    holds = Hold.objects.standing().filter(job_hold__job=job).with_kept().with_short().exclude(kept=0, short=0)
    locked = list(holds.select_related("line").order_by("line"))
    lock_lines(one.line for one in locked)
    return [change for one in locked for change in give_all_up(by, one, on)]


def give_all_up(by: User, hold: Hold, on: date) -> list[HoldChange]:
    """Give back all a hold keeps and owe no more what it is short of, on that day or the last it changed; the changes made."""
    now = Hold.objects.with_kept().with_short().get(pk=hold.pk)
    if not now.kept and not now.short:
        return []
    last = now.changes.standing().aggregate(last=Max("on"))["last"]
    first = give_up(by=by, hold=hold, on=max(on, last), bunches=now.kept + now.short)
    return list(now.changes.standing().filter(pk__gte=first.pk).order_by("pk"))


@action("selling")
def undo_cancelling(*, by: User, job_cancelled: JobCancelled) -> JobCancelled:
    """Undo a cancelling: deposits are held and bunches kept as before, if nobody was promised them meanwhile."""
    lock_job(job_cancelled.job)
    freed = [one.change for one in job_cancelled.freed.select_related("change__hold__line")]
    lock_lines(change.hold.line_id for change in freed)
    cancelled = mark_undone(JobCancelled.objects.lock(job_cancelled), by=by)
    if cancelled.given_back is not None:
        mark_undone(Deposit.objects.lock(cancelled.given_back), by=by)
    _keep_again(by, freed)
    return cancelled


def _keep_again(by: User, freed: Iterable[HoldChange]) -> None:
    """Undo what gave bunches back, all of one hold as one."""
    for _hold, changes in groupby(sorted(freed, key=lambda one: (one.hold_id, -one.pk)), key=lambda one: one.hold_id):
        undo_hold_changes(by=by, changes=list(changes))


@action("selling")
def do_job(*, by: User, job: Job, on: date) -> JobDone:
    """Record a job done: its pieces and hires are charged as they stand, income of that day; what is still kept is free."""
    job = lock_open_job(job, on)
    pieces, hires = list(job.pieces.standing().order_by("pk")), list(job.hires.standing().select_related("item").order_by("pk"))
    if not pieces and not hires:
        raise refusal(None, _("Nothing is charged for it. Add a piece or a hire first."), code="nothing_to_charge")
    done = record(JobDone(on=on, job=job, rate_bp=tax_rate_on(on)), by=by)
    for piece in pieces:
        keep(_charge_piece(done, piece))
    for hire in hires:
        keep(_charge_hire(done, hire))
    for change in _free_all(by, job, on):
        keep(JobLetGo(done=done, change=change))
    return done


def _charge_piece(done: JobDone, piece: JobPiece) -> JobCharge:
    return JobCharge(done=done, piece=piece, description=piece.name, quantity=piece.quantity, price=piece.price)


def _charge_hire(done: JobDone, hire: JobHire) -> JobCharge:
    words = str(_("Hire of %(item)s")) % {"item": hire.item}
    return JobCharge(done=done, hire=hire, description=words, quantity=hire.quantity, price=hire.price)


@action("selling")
def undo_job_done(*, by: User, job_done: JobDone) -> JobDone:
    """Undo a job done that was not invoiced: what it let go is kept again, if nobody was promised it meanwhile."""
    lock_job(job_done.job)
    if InvoiceLine.objects.filter(charge__done=job_done).exists():
        raise refusal(None, _("It was invoiced. An invoice is never undone; credit it instead."), code="invoiced")
    let_go = [one.change for one in job_done.let_go.select_related("change__hold__line")]
    lock_lines(change.hold.line_id for change in let_go)
    done = mark_undone(JobDone.objects.lock(job_done), by=by)
    _keep_again(by, let_go)
    return done
