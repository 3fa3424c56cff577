"""The margin sheet of a job or a workshop, planned beside actual, on screen and as paper."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from ledger.daybook.views.records import spending_links
from ledger.facts.pages import Link, links_for, require_may
from ledger.facts.paper import paper
from ledger.facts.queries import today
from ledger.pricing.queries import terms_on
from ledger.sales.models import Job, Workshop
from ledger.sales.queries.job_sets import CANCELLED, DONE
from ledger.sales.queries.jobs import STATES

from ..queries.job_margin import job_margin
from ..queries.jobs import Account, Actual, actual
from ..queries.work_missing import Missing, missing_of
from .margins import FEES, margins_of_year

KINDS = {"job": _("the job"), "hire": _("hire"), "workshop": _("the workshop")}
BROKEN = _("broken or lost of the hire")
CAUTION = _(
    "A deposit is owed to the customer until it is billed or kept. Where tax is due as it comes in, or on what is kept of it, "
    "this page does not know of it. Rules differ from country to country and change. A qualified accountant decides."
)


@dataclass(frozen=True)
class Row:
    """One line of the account: planned beside what it came to, whole minor units; None where it cannot be said."""

    label: Any
    planned: int | None
    came_out: int | None
    under: str = ""
    total: bool = False

    @property
    def more(self) -> int | None:
        """How much more it came to than was planned."""
        return None if self.planned is None or self.came_out is None else self.came_out - self.planned


def job_margin_page(request: HttpRequest, pk: int) -> HttpResponse:
    """What was planned of a job, by piece and by what it takes, and what it really brought and cost."""
    return _page(request, _of_job(request, pk), reverse("books:job_margin_paper", args=[pk]))


def job_margin_paper(request: HttpRequest, pk: int) -> HttpResponse:
    """The same as paper."""
    return paper(request, "print/job_margin.html", {**_of_job(request, pk), "on_paper": True}, f"job-{pk}-margin.pdf")


def workshop_margin_page(request: HttpRequest, pk: int) -> HttpResponse:
    """What a workshop really brought and cost."""
    return _page(request, _of_workshop(request, pk), reverse("books:workshop_margin_paper", args=[pk]))


def workshop_margin_paper(request: HttpRequest, pk: int) -> HttpResponse:
    """The same as paper."""
    about = {**_of_workshop(request, pk), "on_paper": True}
    return paper(request, "print/job_margin.html", about, f"workshop-{pk}-margin.pdf")


def _page(request: HttpRequest, about: dict[str, Any], paper_url: str) -> HttpResponse:
    work = about["work"]
    links = links_for(
        request.user, Link(_("As paper"), paper_url),
        Link(_("Margins of all jobs and workshops"), margins_of_year(getattr(work, "said", work).held_on, "job")),
        *_to_mend(work, about["missing"]),
    )
    return render(request, "books/job_margin.html", {**about, "links": links})


def _to_mend(work: Job | Workshop, missing: Missing | None) -> list[Link]:
    """Where what is missing is entered."""
    if missing is None:
        return []
    note, _clock, buy, use = spending_links(work.pk)
    take = Link(_("Take bunches for it"), reverse("sales:take_for_job", args=[work.pk]), "packing")
    return [*([note] if missing.hours else ()), *([take] if missing.goods else ()), *([buy, use] if missing.things else ())]


def _of_job(request: HttpRequest, pk: int) -> dict[str, Any]:
    require_may(request.user, "see_costs")
    job: Any = get_object_or_404(Job.objects.whole().with_standing(), pk=pk)
    margin, over = job_margin(job, today()), job.stands_as in (DONE, CANCELLED)
    return {
        "work": job, "job": job, "margin": margin, "stands": STATES[job.stands_as], "wanted_bp": margin.sheet.wanted_bp,
        "planned": margin.planned, "came_out": job.stands_as == DONE, "off": job.stands_as == CANCELLED, "things": margin.things,
        **_shown(margin.of, over, missing_of([("job", pk)], today()).get(("job", pk)), margin.planned, margin.planned_minutes),
    }


def _of_workshop(request: HttpRequest, pk: int) -> dict[str, Any]:
    require_may(request.user, "see_costs")
    workshop, on = get_object_or_404(Workshop, pk=pk), today()
    of, terms = actual(workshop, on), terms_on(workshop.way, on)
    over = workshop.holdings.standing().exists() or workshop.called_off.standing().exists()
    return {
        "work": workshop, "wanted_bp": terms.margin_bp if terms else None, "things": of.things,
        **_shown(of, over, missing_of([("workshop", pk)], on).get(("workshop", pk))),
    }


def _shown(
    of: Actual, over: bool, missing: Missing | None, planned: Account | None = None, minutes: int = 0
) -> dict[str, Any]:
    return {
        "missing": missing,
        "of": of, "over": over, "account": of.account if over else None, "on": today(), "caution": CAUTION,
        "rows": _rows(of, over, missing, planned, minutes),
        "income": [(line, BROKEN if line.broken else KINDS[line.kind]) for line in of.lines],
        "fees": [FEES[word] for word in FEES if word in of.fees_by],
    }


def _rows(of: Actual, over: bool, missing: Missing | None, planned: Account | None, minutes: int) -> Sequence[Row]:
    """The account line by line; before the work is over nothing of it is income and nothing is left."""
    hours = {"noted": f"{of.minutes / 60:.1f}", "planned": f"{minutes / 60:.1f}"}
    under = _("%(planned)s hours planned, %(noted)s noted") if planned else _("%(noted)s hours noted")
    unders = {"all_work": str(under) % hours, "left": str(_("too much by what is missing")) if missing else ""}
    names = (
        ("net", _("Net")), ("shelf", _("Bunches and stems, at cost to the shelf")), ("all_work", _("Work")),
        ("other", _("Materials, bought in and all else")), ("fees", _("Fees and selling")), ("left", _("Left")),
    )
    return [
        Row(
            label, getattr(planned, name, None), getattr(of.account, name) if over or name not in ("net", "left") else None,
            under=unders.get(name, ""), total=name in ("net", "left"),
        )
        for name, label in names
    ]
