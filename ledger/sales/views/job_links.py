"""What can be done on a job's page, as it stands."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from django.urls import NoReverseMatch, reverse
from django.utils.translation import gettext_lazy as _

from ledger.daybook.views.records import spending_links
from ledger.facts.pages import Link
from ledger.sales.queries.job_sets import AGREED, ASKED, CANCELLED, DONE

TO_JOB = ("selling", "see_takings")


def links_of(job: Any) -> list[Link]:
    """The links under the heading of a job (with its standing), for anybody; the page leaves out what a role may not follow."""
    return [*_first(job), *_quoting(job), *_keeping(job), *_papers(job), *_ending(job), *spending_links(job.pk), *_last(job)]


def _to(job: Any, name: str) -> str:
    try:  # TEMPORARY
        return reverse(name if ":" in name else f"sales:{name}", args=[job.pk])
    except NoReverseMatch:
        return ""


def _first(job: Any) -> Iterator[Link]:
    """What comes next."""
    if job.to_bill:
        yield Link(_("Invoice it"), _to(job, "invoice_job"), "invoices")
    if job.stands_as == ASKED:
        yield Link(_("The customer agrees"), _to(job, "agree_job"), "selling")


def _quoting(job: Any) -> Iterator[Link]:
    if job.stands_as in (ASKED, AGREED):
        yield Link(_("Add a piece"), _to(job, "add_piece"), "selling")
        yield Link(_("Hire something out with it"), _to(job, "plan_hire"), "selling")
        yield Link(_("Take a deposit"), _to(job, "take_deposit"), "selling")


def _keeping(job: Any) -> Iterator[Link]:
    if job.stands_as in (ASKED, AGREED):
        yield Link(_("Keep what it needs"), _to(job, "keep_all_for_job"), "selling")
        yield Link(_("Keep other bunches"), _to(job, "keep_for_job"), "selling")
    if job.stands_as != CANCELLED:
        yield Link(_("Take bunches for it"), _to(job, "take_for_job"), "packing")
        yield Link(_("Take fresh stems for it"), _to(job, "take_stems_for_job"), "packing")
    if job.taken.standing().exists():
        yield Link(_("Put back what came back"), _to(job, "back_for_job"), "packing")


def _papers(job: Any) -> Iterator[Link]:
    if job.stands_as != CANCELLED:
        yield Link(_("The quote as paper"), _to(job, "quote"), TO_JOB)
        yield Link(_("List to take along"), _to(job, "job_list"), "packing")
    yield Link(_("Planned and actual margin"), _to(job, "books:job_margin"), "see_costs")


def _ending(job: Any) -> Iterator[Link]:
    if job.stands_as in (ASKED, AGREED):
        yield Link(_("It is done"), _to(job, "do_job"), "selling")
        yield Link(_("Cancel it"), _to(job, "cancel_job"), "selling")
        yield Link(_("Change the day or the note"), _to(job, "change_job"), "selling")
    if job.deposits_held > 0 and not (job.stands_as == DONE and job.to_bill):
        yield Link(_("Give a deposit back"), _to(job, "give_back_deposit"), "selling")


def _last(job: Any) -> Iterator[Link]:
    if job.stands_as == ASKED:
        yield Link(_("Undo this job"), _to(job, "undo_job"), "selling")
