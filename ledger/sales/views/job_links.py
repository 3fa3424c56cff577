"""What can be done on a job's page, as it stands: what comes next first, the rest at the foot."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from datetime import date
from typing import Any

from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from ledger.daybook.views.records import spending_links
from ledger.facts.pages import Link, links_for
from ledger.sales.queries.job_sets import AGREED, ASKED, CANCELLED, DONE

from .seeing import SEES_TAKINGS


def parted(user: Any, links: Iterable[Link], first: Sequence[str]) -> tuple[list[Link], list[Link]]:
    """The links a user may follow: those to the addresses that come next, in that order, and the rest as they came."""
    shown = links_for(user, *links)
    ahead = sorted((link for link in shown if link.url in first), key=lambda link: first.index(link.url))
    return ahead, [link for link in shown if link.url not in first]


def next_of(job: Any, on: date) -> list[str]:
    """The addresses of what comes next of a job as it stands (with its standing) on a day."""
    if job.stands_as == ASKED:
        names = ["agree_job", "add_piece"]
    elif job.stands_as == AGREED:
        names = ["do_job", "take_for_job"] if job.held_on_now <= on else ["keep_all_for_job", "take_for_job"]
    else:
        names = ["back_for_job"]
    return [_to(job, name) for name in ("invoice_job", *names)]


def links_of(job: Any) -> list[Link]:
    """All links of a job (with its standing and `to_bill`)."""
    is_open = job.stands_as in (ASKED, AGREED)
    return [
        *_first(job), *(_quoting(job) if is_open else ()), *(() if job.stands_as == CANCELLED else _taking(job)),
        *_papers(job), *(_ending(job) if is_open else (_deposit(job),)), *spending_links(job.pk),
    ]


def _to(job: Any, name: str) -> str:
    return reverse(f"sales:{name}", args=[job.pk])


def _first(job: Any) -> Iterator[Link]:
    """What comes next."""
    if job.to_bill:
        label = _("Invoice it") if job.stands_as == DONE else _("Invoice what was broken or lost")
        yield Link(label, _to(job, "invoice_job"), "invoices")
    if job.stands_as == ASKED:
        yield Link(_("The customer agrees"), _to(job, "agree_job"), "selling")


def _quoting(job: Any) -> Iterator[Link]:
    yield Link(_("Add a piece"), _to(job, "add_piece"), "selling")
    yield Link(_("Hire something out with it"), _to(job, "plan_hire"), "selling")
    yield _deposit(job)
    yield Link(_("Keep what it needs"), _to(job, "keep_all_for_job"), "selling")


def _deposit(job: Any) -> Link:
    """Also of a job that is over: one entered late."""
    label = _("Take a deposit") if job.stands_as in (ASKED, AGREED) else _("Enter a deposit paid ahead")
    return Link(label, _to(job, "take_deposit"), "selling")


def _taking(job: Any) -> Iterator[Link]:
    yield Link(_("Take bunches for it"), _to(job, "take_for_job"), "packing")
    yield Link(_("Take fresh stems for it"), _to(job, "take_stems_for_job"), "packing")
    if job.taken.standing().exists():
        yield Link(_("Put back what came back"), _to(job, "back_for_job"), "packing")


def _papers(job: Any) -> Iterator[Link]:
    if job.stands_as != CANCELLED:
        yield Link(_("The quote as paper"), _to(job, "quote"), SEES_TAKINGS)
        yield Link(_("List to take along"), _to(job, "job_list"), "packing")
    yield Link(_("Planned and actual margin"), reverse("books:job_margin", args=[job.pk]), "see_costs")


def _ending(job: Any) -> Iterator[Link]:
    yield Link(_("It is done"), _to(job, "do_job"), "selling")
    yield Link(_("Change the day or the note"), _to(job, "change_job"), "selling")
    yield Link(_("Cancel it"), _to(job, "cancel_job"), "selling")
    if job.stands_as == ASKED:
        yield Link(_("Undo this job"), _to(job, "undo_job"), "selling")
