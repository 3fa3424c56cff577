"""Papers of a job: the quote, and the list of what to take along."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import get_object_or_404
from django.utils.translation import gettext_lazy as _

from ledger.facts.forms import MoneyField
from ledger.facts.paper import paper
from ledger.facts.queries import today
from ledger.sales.models import Job
from ledger.sales.queries.job_lists import with_out
from ledger.sales.queries.job_needs import FRESH, LINE, MATERIAL, needed_for
from ledger.sales.queries.job_page import unit_of
from ledger.sales.queries.job_papers import cautions_of, job_picks, quoted_sum
from ledger.sales.queries.job_sets import AGREED, ASKED

from .seeing import SEES_TAKINGS, require


def _job(pk: int) -> Job:
    return get_object_or_404(Job.objects.standing().whole().with_standing(), pk=pk)


def quote(request: HttpRequest, pk: int) -> HttpResponse:
    """The quote as paper; `?deposit=` is what is asked ahead. It shows prices, never what anything costs."""
    require(request, SEES_TAKINGS)
    job, on = _job(pk), today()
    try:
        deposit = MoneyField(required=False).clean(request.GET.get("deposit", ""))
    except ValidationError:
        messages.error(request, _("Write the deposit as an amount such as 50.00."))
        return HttpResponseRedirect(job.get_absolute_url())
    about = {
        "job": job, "on": on, "deposit": deposit, "pieces": job.pieces.standing().order_by("pk"),
        "hires": job.hires.standing().select_related("item").order_by("first_day", "pk"),
        "quoted": quoted_sum(job, job.quoted, on), "cautions": cautions_of(job),  # type: ignore[attr-defined]
    }
    return paper(request, "print/quote.html", about, f"quote-{job.pk}.pdf")


HEADINGS = {
    LINE: _("Not kept, still to be found"), FRESH: _("Fresh, of your own"), MATERIAL: _("Materials"), "bought": _("Bought in"),
}


def _still(job: Job) -> list[tuple[Any, list[dict[str, Any]]]]:
    """What is needed of a job to be done, not taken and not kept, by kind, each with its heading."""
    rows: dict[str, list[dict[str, Any]]] = {kind: [] for kind in HEADINGS}
    is_open = job.stands_as in (ASKED, AGREED)  # type: ignore[attr-defined]
    for need in needed_for(job, today()) if is_open else ():
        if need.lacking:
            rows[need.kind].append({"what": need.what, "take": need.lacking, "unit": unit_of(need, need.lacking)})
    return [(heading, rows[kind]) for kind, heading in HEADINGS.items() if rows[kind]]


def job_list(request: HttpRequest, pk: int) -> HttpResponse:
    """What to take along, as paper: kept bunches in the order of shelves, fresh stems, materials, bought-in things, hires."""
    require(request, ("packing",))
    job = _job(pk)
    about = {
        "job": job, "picks": job_picks(job), "still": _still(job), "cautions": cautions_of(job),
        "pieces": job.pieces.standing().order_by("pk"),
        "hires": with_out(job.hires.standing()).select_related("item").order_by("item", "pk"),
    }
    return paper(request, "print/job_list.html", about, f"job-list-{job.pk}.pdf")
