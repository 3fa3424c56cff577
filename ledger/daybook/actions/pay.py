"""The verbs of workers, what their hour costs, and their pay."""

from __future__ import annotations

from datetime import date, timedelta

from django.utils.translation import gettext_lazy as _

from ledger.facts.actions import undo_within
from ledger.facts.models import User
from ledger.facts.writing import action, keep, record, refusal

from ..models import Pay, Worker, WorkerRate
from ..queries import first_without_rate

LONGEST_PAY = 366  # days


@action("money")
def add_worker(*, by: User, name: str, paid: bool = True, user: User | None = None) -> Worker:
    """Add a person whose hours are noted."""
    return keep(Worker(name=name, paid=paid, user=user))


@action("money")
def set_worker_rate(*, by: User, worker: Worker, on: date, per_hour: int) -> WorkerRate:
    """Record what an hour of a worker costs from a day on, in minor units."""
    return record(WorkerRate(worker=worker, on=on, per_hour=per_hour), by=by)


@action("money")
def record_pay(*, by: User, worker: Worker, on: date, first_day: date, last_day: date, amount: int) -> Pay:
    """Record wages paid for a stretch of days; a day is paid for once."""
    worker = Worker.objects.select_for_update(no_key=True).get(pk=worker.pk)
    if not worker.paid:
        raise refusal("worker", _("%(worker)s is not paid wages."), code="not_paid", worker=worker)
    if (last_day - first_day).days > LONGEST_PAY:
        raise refusal("last_day", _("Wages are entered for a year at most; check the year."), code="too_long")
    if last_day > on + timedelta(LONGEST_PAY):
        raise refusal("last_day", _("Wages are paid at most a year ahead; check the year."), code="too_far")
    earlier = worker.pays.standing().filter(first_day__lte=last_day, last_day__gte=first_day).first()
    if earlier is not None:
        raise refusal(
            "first_day", _("Already paid for %(first)s to %(last)s; undo that pay to enter it anew."),
            code="already_paid", first=earlier.first_day, last=earlier.last_day,
        )
    return record(Pay(worker=worker, on=on, first_day=first_day, last_day=last_day, amount=amount), by=by)


@action("money")
def undo_worker_rate(*, by: User, rate: WorkerRate) -> WorkerRate:
    """Undo a rate; the one before it is in force again. Hours noted never lose their only rate."""
    worker = Worker.objects.select_for_update(no_key=True).get(pk=rate.worker_id)
    rate = undo_within(rate, by=by)
    entry = first_without_rate(worker)
    if entry is not None:
        raise refusal(None, _("%(what)s rests on this. Undo that first."), code="rested_on", what=str(entry))
    return rate


@action("money")
def undo_pay(*, by: User, pay: Pay) -> Pay:
    """Undo a pay."""
    return undo_within(pay, by=by)
