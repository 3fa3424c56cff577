"""How one job stands: its state and its deposits."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from typing import TYPE_CHECKING

from django.utils.translation import gettext_lazy as _

from ledger.stock.queries import lowest_from

from .job_sets import AGREED, ASKED, CANCELLED, DONE
from .sets import rows

if TYPE_CHECKING:
    from ledger.sales.models import Job

STATES = {ASKED: _("asked about"), AGREED: _("agreed"), DONE: _("done"), CANCELLED: _("cancelled")}


def job_stands(job: Job) -> str:
    """How a job stands now: asked, agreed, done or cancelled; `STATES` has the words."""
    return type(job).objects.with_state().values_list("stands_as", flat=True).get(pk=job.pk)


def deposits_by_day(job: Job) -> Iterator[tuple[date, int]]:
    """Each change of what is held of a job's deposits: day, minor units in (+) or given back, used, kept (-)."""
    yield from job.deposits.standing().values_list("on", "amount")
    for on, amount in rows("Payment").standing().filter(deposit_of=job).values_list("on", "amount"):
        yield on, -amount
    for on, kept in job.cancellings.standing().values_list("on", "kept"):
        yield on, -kept


def deposits_held(job: Job) -> int:
    """What is held of a job's deposits now, owed to the customer, minor units."""
    return sum(amount for _on, amount in deposits_by_day(job))


def lowest_deposits_held(job: Job, on: date) -> int:
    """The least held of a job's deposits at the end of that day or of any later one, minor units."""
    return lowest_from(deposits_by_day(job), on)
