"""Deposits of a job: paid ahead, given back."""

from __future__ import annotations

from datetime import date

from django.utils.translation import gettext_lazy as _

from ledger.facts.actions import undo_within
from ledger.facts.models import User
from ledger.facts.writing import action, record, refusal
from ledger.pricing.queries.words import in_money
from ledger.sales.models import Deposit, Job, JobCancelled
from ledger.sales.queries.jobs import lowest_deposits_held

from .jobs import lock_job


@action("selling")
def take_deposit(*, by: User, job: Job, on: date, amount: int, how: str = "") -> Deposit:
    """Record money a customer paid ahead for a job, minor units; it is owed to them until it is billed.

    Also once the job is done, as one entered late; of one cancelled, up to the day of the cancelling: what comes after
    that is ahead of nothing.
    """
    job = lock_job(job, on)
    cancelled = job.cancellings.standing().first()
    if cancelled is not None and on > cancelled.on:
        raise refusal("on", _("The job was cancelled on %(on)s. Undo that first."), code="job_over", on=cancelled.on)
    _require_some(amount)
    return record(Deposit(on=on, job=job, amount=amount, how=how), by=by)


@action("selling")
def give_back_deposit(*, by: User, job: Job, on: date, amount: int, how: str = "") -> Deposit:
    """Record money given back of a job's deposits; never more than is held from that day on."""
    job = lock_job(job, on)
    _require_some(amount)
    held = max(lowest_deposits_held(job, on), 0)
    if amount > held:
        raise refusal("amount", _("Only %(held)s is held of its deposits."), code="too_much", held=in_money(held))
    return record(Deposit(on=on, job=job, amount=-amount, how=how), by=by)


@action("selling")
def undo_deposit(*, by: User, deposit: Deposit) -> Deposit:
    """Undo a deposit, or a giving back; never so that less than nothing was held on any day."""
    job = lock_job(deposit.job)
    if JobCancelled.objects.standing().filter(given_back=deposit).exists():
        raise refusal(None, _("It was given back with the cancelling. Undo that instead."), code="part_of_more")
    deposit = undo_within(deposit, by=by)
    if lowest_deposits_held(job, deposit.on) < 0:
        raise refusal(
            None, _("It was used on an invoice, kept or given back since. Undo that first."), code="deposit_used"
        )
    return deposit


def _require_some(amount: int) -> None:
    if amount < 1:
        raise refusal("amount", _("A deposit is more than nothing."), code="too_few")
