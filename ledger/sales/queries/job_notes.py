"""What jobs have to say today."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from typing import Any

from django.urls import reverse
from django.utils.formats import date_format
from django.utils.translation import ngettext

from ledger.facts.models import User
from ledger.sales.models import Job

from .job_lists import in_job_state, soon_wanting

Says = tuple[Any, str]


def job_notes(user: User, on: date) -> Iterator[Says]:
    """Jobs soon that lack bunches, quotes running out, jobs past, hires overdue, jobs to invoice, deposits to give back."""
    if user.may("selling") or user.may("packing"):
        yield from _wanting(on)
        yield from _of_state("hire_overdue", on)
    if user.may("selling"):
        yield from _of_state("running_out", on)
        yield from _of_state("past", on)
    if user.may("invoices"):
        yield from _of_state("to_invoice", on)
    if user.may("selling"):
        yield from _of_state("give_back", on)


def _wanting(on: date) -> Iterator[Says]:
    """A sentence for each agreed job of the next days of which something is not kept, or kept and not taken."""
    for one in soon_wanting(on):
        about = {"job": one.job.name, "on": date_format(one.job.held_on_now)}  # type: ignore[attr-defined]
        if one.lacks:
            says = ngettext(
                "%(job)s on %(on)s lacks %(n)d bunch", "%(job)s on %(on)s lacks %(n)d bunches", one.lacks
            )
            yield says % {**about, "n": one.lacks}, one.job.get_absolute_url()
        else:
            n = one.kept
            says = ngettext(
                "%(job)s on %(on)s: %(n)d bunch kept and not taken", "%(job)s on %(on)s: %(n)d bunches kept and not taken", n
            )
            yield says % {**about, "n": one.kept}, one.job.get_absolute_url()


def _of_state(state: str, on: date) -> Iterator[Says]:
    """How many jobs are in a state, where any is."""
    n = in_job_state(Job.objects.standing().with_standing(), state, on).count()
    if n:
        yield _sentence(state, n) % {"n": n}, f"{reverse('sales:jobs')}?state={state}"


def _sentence(state: str, n: int) -> str:
    return {
        "hire_overdue": ngettext("%(n)d job has hired things overdue", "%(n)d jobs have hired things overdue", n),
        "running_out": ngettext("%(n)d quote runs out within a week", "%(n)d quotes run out within a week", n),
        "past": ngettext(
            "%(n)d job is past its day, not said to be done", "%(n)d jobs are past their day, not said to be done", n
        ),
        "to_invoice": ngettext("%(n)d job is to be invoiced", "%(n)d jobs are to be invoiced", n),
        "give_back": ngettext("%(n)d job has a deposit to give back", "%(n)d jobs have deposits to give back", n),
    }[state]
