"""Pages of jobs: asked about, said anew, agreed."""

from __future__ import annotations

from datetime import date
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from ledger.daybook.views.records import spending_on
from ledger.facts.forms import VerbForm
from ledger.facts.pages import Link, ListPage, Undo, Verb
from ledger.facts.queries import today
from ledger.pricing.models import Way
from ledger.sales import actions
from ledger.sales.filters import JobFilter
from ledger.sales.forms.jobs import JobChangeForm, JobForm
from ledger.sales.models import Customer, Job, JobAgreed, JobChange
from ledger.sales.queries.billing import to_bill
from ledger.sales.queries.job_agreed import Agreed
from ledger.sales.queries.job_became import became_of
from ledger.sales.queries.job_lists import with_out
from ledger.sales.queries.job_needs import BOUGHT, needed_for
from ledger.sales.queries.job_page import (
    hire_rows,
    money_of,
    part_in_words,
    pieces_of,
    stands_in_words,
    with_fillings,
)
from ledger.sales.queries.job_papers import cautions_of, quoted_sum
from ledger.sales.queries.job_sets import AGREED, ASKED
from ledger.sales.queries.taken import taken_with_backs
from ledger.sales.tables import JobTable

from .job_links import links_of, next_of, parted
from .orders import new_key
from .seeing import SEES_ORDERS, require


class Jobs(ListPage):
    """All jobs, those to come first."""

    model = Job
    table_class, filterset_class = JobTable, JobFilter
    title, may = _("Jobs"), SEES_ORDERS
    intro = _("Weddings, funerals, events, displays: quoted by the piece, from the first question to the last vase back.")

    def get_queryset(self) -> Any:
        return Job.objects.standing().whole().with_standing()

    def get_table_kwargs(self) -> dict[str, Any]:
        return {} if self.request.user.may("see_takings") else {"exclude": ("quoted", "deposits_held")}  # type: ignore[union-attr]

    def links(self) -> list[Link]:
        jobs = reverse("sales:jobs")
        return [
            Link(_("Enter a job"), reverse("sales:new_job"), "selling"),
            Link(_("Still to be done"), f"{jobs}?state=open&sort=held_on_now"),
            Link(_("Done and not invoiced"), f"{jobs}?state=to_invoice", ("invoices", "see_takings")),
            Link(_("Workshops"), reverse("sales:workshops")),
            Link(_("Things to hire out"), reverse("sales:hire_items")),
            Link(_("Customers"), reverse("sales:customers")),
        ]

    def get_context_data(self, **given: Any) -> dict[str, Any]:
        return super().get_context_data(row_template="sales/_job_row.html#row", **given)


def job(request: HttpRequest, pk: int) -> HttpResponse:
    """One job: what is quoted, needed, kept, taken, hired, paid ahead, spent and charged."""
    require(request, SEES_ORDERS)
    on, job = today(), get_object_or_404(Job.objects.whole().with_standing(), pk=pk)
    job.to_bill = bool(to_bill(job, on))  # type: ignore[attr-defined]
    done = job.doings.standing().first()
    is_open = job.stands and job.stands_as in (ASKED, AGREED)  # type: ignore[attr-defined]
    agreed = Agreed(job)
    links, more = parted(request.user, links_of(job) if job.stands else (), next_of(job, on))
    context = {
        "job": job, "on": on, "new_key": new_key, "open": is_open, "stands_in_words": stands_in_words(job, on),
        "links": links, "more": more, "cautions": cautions_of(job),
        "quoted": quoted_sum(job, job.quoted, done.on if done else on),  # type: ignore[attr-defined]
        "became": became_of(job, agreed, is_open=is_open), "agreed": agreed,
        "agreed_sum": quoted_sum(job, agreed.amount, done.on if done else on) if agreed.since else None,
        "cancelled": job.cancellings.standing().first(), "spending": spending_on(job.cost_object, request.user),
        **_wanted(job, on), **money_of(job),
    }
    return render(request, "sales/job.html", context)


def _wanted(job: Job, on: date) -> dict[str, Any]:
    """Its pieces, what they need and what could fill it, what was taken and hired out."""
    pieces, needs = list(pieces_of(job)), with_fillings(needed_for(job, on)) if job.stands else []
    for part in (part for piece in pieces for part in piece.parts.all()):
        part.in_words = part_in_words(part)  # type: ignore[attr-defined]
    return {
        "pieces": pieces, "needs": needs, "lacking": [one for one in needs if one.need.lacking and one.need.kind != BOUGHT],
        "taken": taken_with_backs(job), "hire_rows": hire_rows(job),
        "hires": with_out(job.hires.standing()).select_related("item").order_by("first_day", "pk"),
    }


class NewJob(Verb):
    """Enter a job somebody asks about. `?customer=` chooses the customer."""

    form_class, title, may, button = JobForm, _("Enter a job"), "selling", _("Enter it")
    template_name = "sales/new_job.html"
    verb = "open_job"
    intro = _("What somebody asks about, and for which day. Its pieces, their prices and what is hired out follow on its page.")

    def context(self) -> dict[str, Any]:
        return {"no_way": not Way.objects.exists(), "no_customer": not Customer.objects.named().exists()}

    def act(self, form: JobForm, **common: Any) -> Job:
        return actions.open_job(**form.given(), **common)


class ChangeJob(Verb):
    """Say the day, the quote's last day and the note anew."""

    form_class, title, may, button = JobChangeForm, _("Change the day or the note"), "selling", _("Change it")
    subject_model, done = Job, _("Changed.")

    def initial(self) -> dict[str, Any]:
        said = self.subject.said
        return {**{name: getattr(said, name) for name in ("held_on", "good_until", "note")}, **super().initial()}

    def act(self, form: JobChangeForm, **common: Any) -> JobChange:
        return actions.change_job(job=self.subject, **form.given(), **common)


class AgreeJob(Verb):
    """The customer agrees to the quote."""

    form_class, title, may, button = VerbForm, _("The customer agrees"), "selling", _("Agreed")
    subject_model = Job
    intro = _("To the quote as it stands. Pieces can still be changed afterwards.")

    def act(self, form: VerbForm, **common: Any) -> JobAgreed:
        return actions.agree_job(job=self.subject, on=form.cleaned_data["on"], **common)


class UndoJob(Undo):
    """Undo a job."""

    subject_model, may, fact_name = Job, "selling", "job"
    undoing = staticmethod(actions.undo_job)


class UndoJobChange(Undo):
    """Undo what was said anew."""

    subject_model, may, fact_name = JobChange, "selling", "job_change"
    undoing = staticmethod(actions.undo_job_change)


class UndoAgreement(Undo):
    """Undo an agreement."""

    subject_model, may, fact_name = JobAgreed, "selling", "job_agreed"
    undoing = staticmethod(actions.undo_agreement)
