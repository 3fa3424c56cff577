"""Pages of workers, their rates, hours and pay."""

from __future__ import annotations

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from ledger.facts.pages import Link, ListPage, Undo, Verb, links_for, require_may
from ledger.facts.queries import today
from ledger.reckoning.years import ONE_DAY

from .. import actions
from ..filters import PayFilter, WorkerFilter, WorkFilter
from ..forms.work import PayForm, RateForm, WorkerForm, WorkForm
from ..models import Pay, WorkEntry, Worker, WorkerRate
from ..tables import PayTable, WorkerTable, WorkTable
from .records import AskAgain, as_before, things_asked_for, with_pages


class Workers(ListPage):
    """Everybody whose hours are noted."""

    model, table_class, filterset_class, title = Worker, WorkerTable, WorkerFilter, _("Workers")
    may = ("work", "money")

    def links(self) -> list[Link]:
        return [
            Link(_("Add a worker"), reverse("daybook:add_worker"), "money"),
            Link(_("Enter a rate"), reverse("daybook:set_worker_rate"), "money"),
        ]

    def get_context_data(self, **given: Any) -> dict[str, Any]:
        return super().get_context_data(row_template="daybook/worker.html#row", **given)


def worker(request: HttpRequest, pk: int) -> HttpResponse:
    """One worker; rates and pay only for those who may see money."""
    require_may(request.user, "work", "money")
    found = get_object_or_404(Worker, pk=pk)
    sees_money = request.user.may("money")  # type: ignore[union-attr]
    about = {
        "worker": found,
        "rates": found.rates.standing().order_by("-on", "-pk") if sees_money else [],
        "pays": found.pays.standing().order_by("-on", "-pk")[:12] if sees_money else [],
        "entries": found.entries.standing().whole().order_by("-on", "-pk")[:25],
        "links": links_for(
            request.user,
            Link(_("Note work"), f"{reverse('daybook:note_work')}?worker={pk}", "work"),
            Link(_("A week's hours"), f"{reverse('daybook:note_week')}?worker={pk}", "work"),
            Link(_("Enter a rate"), f"{reverse('daybook:set_worker_rate')}?worker={pk}", "money"),
            Link(_("Enter pay"), f"{reverse('daybook:record_pay')}?worker={pk}", "money"),
        ),
    }
    return render(request, "daybook/worker.html", about)


class AddWorker(Verb):
    """Add a worker."""

    form_class, title, may, button = WorkerForm, _("Add a worker"), "money", _("Add")

    def act(self, form: WorkerForm, **common: Any) -> Worker:
        return actions.add_worker(**form.given(), **common)


class SetRate(Verb):
    """Enter what an hour of a worker costs."""

    form_class, title, may = RateForm, _("What an hour costs"), "money"

    def act(self, form: RateForm, **common: Any) -> WorkerRate:
        return actions.set_worker_rate(**form.given(), **common)


class UndoRate(Undo):
    """Undo a rate."""

    subject_model, may, fact_name = WorkerRate, "money", "rate"
    undoing = actions.undo_worker_rate


class WorkEntries(ListPage):
    """All work noted."""

    model, table_class, filterset_class, title = WorkEntry, WorkTable, WorkFilter, _("Work")
    may = ("work", "money")

    def get_queryset(self) -> Any:
        return WorkEntry.objects.standing().whole()

    def links(self) -> list[Link]:
        return [
            Link(_("Note work"), reverse("daybook:note_work"), "work"),
            Link(_("A week's hours"), reverse("daybook:note_week"), "work"),
            Link(_("The clock"), reverse("daybook:clocks"), "work"),
        ]

    def get_context_data(self, **given: Any) -> dict[str, Any]:
        return super().get_context_data(row_template="daybook/work_entry.html#row", **given)


def work_entry(request: HttpRequest, pk: int) -> HttpResponse:
    """One entry of work and what it was spent on."""
    require_may(request.user, "work", "money", "see_costs")
    entry = get_object_or_404(WorkEntry.objects.select_related("worker"), pk=pk)
    undo = Link(_("Undo this entry"), reverse("daybook:undo_work", args=[pk]), "work")
    about = {
        "entry": entry, "shares": with_pages(entry.shares.select_related("spent_on")),
        "links": links_for(request.user, undo) if entry.stands else [],
    }
    return render(request, "daybook/work_entry.html", about)


class NoteWork(AskAgain, Verb):
    """Note minutes worked."""

    form_class, title, may, button = WorkForm, _("Note work"), "work", _("Note it")
    template_name = "daybook/note_work.html"

    def initial(self) -> dict[str, Any]:
        return {**as_before(self.request.user), **super().initial(), **things_asked_for(self.request)}

    def act(self, form: WorkForm, **common: Any) -> WorkEntry:
        return actions.note_work(**form.given(), **common)


class UndoWork(Undo):
    """Undo an entry of work."""

    subject_model, may, fact_name = WorkEntry, "work", "entry"
    undoing = actions.undo_work


class Pays(ListPage):
    """All pay."""

    model, table_class, filterset_class, title, may = Pay, PayTable, PayFilter, _("Pay"), "money"

    def get_queryset(self) -> Any:
        return Pay.objects.standing().select_related("worker")

    def links(self) -> list[Link]:
        return [Link(_("Enter pay"), reverse("daybook:record_pay"), "money")]

    def get_context_data(self, **given: Any) -> dict[str, Any]:
        return super().get_context_data(row_template="daybook/pay.html#row", **given)


def pay(request: HttpRequest, pk: int) -> HttpResponse:
    """One pay and the work noted in its days."""
    require_may(request.user, "money")
    found = get_object_or_404(Pay.objects.select_related("worker"), pk=pk)
    noted = found.worker.entries.standing().filter(on__range=(found.first_day, found.last_day)).order_by("on", "pk")
    undo = Link(_("Undo this pay"), reverse("daybook:undo_pay", args=[pk]), "money")
    about = {"pay": found, "entries": noted, "links": links_for(request.user, undo) if found.stands else []}
    return render(request, "daybook/pay.html", about)


class RecordPay(Verb):
    """Enter wages paid."""

    form_class, title, may = PayForm, _("Enter pay"), "money"
    intro = _("Enter it once; the work noted carries it to what was worked on, the rest is paid, not booked.")

    def initial(self) -> dict[str, Any]:
        """The days since the worker was last paid."""
        number = self.request.GET.get("worker", "")
        last = Pay.objects.standing().filter(worker=number).order_by("-last_day").first() if number.isdecimal() else None
        first = last.last_day + ONE_DAY if last else today()
        return {"first_day": first, "last_day": max(first, today()), **super().initial()}

    def act(self, form: PayForm, **common: Any) -> Pay:
        return actions.record_pay(**form.given(), **common)


class UndoPay(Undo):
    """Undo a pay."""

    subject_model, may, fact_name = Pay, "money", "pay"
    undoing = actions.undo_pay
