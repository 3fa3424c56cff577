"""Pages of things for hire, and of their hires with jobs."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from ledger.facts.forms import MoneyField
from ledger.facts.pages import Link, ListPage, Undo, Verb, links_for
from ledger.facts.queries import today
from ledger.sales import actions
from ledger.sales.filters import HireItemFilter
from ledger.sales.forms.hire import (
    ChangeHireItemForm,
    CountHireItemForm,
    HireBackForm,
    NewHireItemForm,
    PlanHireForm,
    SendOutForm,
)
from ledger.sales.models import HireBack, HireItem, HireItemCount, HireOut, Job, JobHire
from ledger.sales.queries.hire import hires_of, short_from, still_out
from ledger.sales.tables import HireItemTable

from .seeing import SEES_ORDERS, require

MONEY = ("charge", "breakage")
KEPT = ("name", "charge", "breakage", "note")


class HireItems(ListPage):
    """All things for hire."""

    model = HireItem
    table_class, filterset_class = HireItemTable, HireItemFilter
    title, may = _("Things for hire"), SEES_ORDERS
    intro = _("Vases, arches, stands: how many there are, how many are out, and what is asked for one.")

    def get_queryset(self) -> Any:
        return HireItem.objects.with_numbers(today())

    def get_table_kwargs(self) -> dict[str, Any]:
        return {} if self.request.user.may("see_takings") else {"exclude": MONEY}  # type: ignore[union-attr]

    def links(self) -> list[Link]:
        return [
            Link(_("Add a thing for hire"), reverse("sales:new_hire_item"), "selling"),
            Link(_("Jobs with things overdue"), f"{reverse('sales:jobs')}?state=hire_overdue"),
            Link(_("Jobs"), reverse("sales:jobs")),
        ]

    def get_context_data(self, **given: Any) -> dict[str, Any]:
        return super().get_context_data(row_template="sales/_hire_item_row.html#row", **given)


def hire_item(request: HttpRequest, pk: int) -> HttpResponse:
    """One thing for hire: how many there are, where they are, to whom they are promised."""
    require(request, SEES_ORDERS)
    on = today()
    item = get_object_or_404(HireItem.objects.with_numbers(on), pk=pk)
    links = links_for(
        request.user,
        Link(_("There are more or fewer"), reverse("sales:count_hire_item", args=[pk]), "selling"),
        Link(_("Change it"), reverse("sales:change_hire_item", args=[pk]), "selling"),
        Link(_("Things for hire"), reverse("sales:hire_items")),
    )
    about = {
        "item": item, "links": links, "on": on, "hires": hires_of(item), "short_from": short_from(item, on),
        "counts": item.counts.standing().select_related("recorded_by").order_by("-on", "-pk"),
    }
    return render(request, "sales/hire_item.html", about)


class NewHireItem(Verb):
    """Add a thing for hire."""

    form_class, title, may, button = NewHireItemForm, _("Add a thing for hire"), "selling", _("Add it")
    verb = "add_hire_item"

    def initial(self) -> dict[str, Any]:
        return {"on": today(), **super().initial()}

    def act(self, form: NewHireItemForm, **common: Any) -> HireItem:
        return actions.add_hire_item(**form.given(), **common)


class ChangeHireItem(Verb):
    """Change a thing's name, note or what is proposed for it."""

    form_class, title, may, button = ChangeHireItemForm, _("Change it"), "selling", _("Change it")
    subject_model, done = HireItem, _("Changed.")
    intro = _("Hires already planned keep their prices.")

    def initial(self) -> dict[str, Any]:
        now = {name: getattr(self.subject, name) for name in KEPT}
        return {**now, **{f"seen_{name}": str(value) for name, value in now.items()}, **super().initial()}

    def act(self, form: ChangeHireItemForm, **common: Any) -> HireItem:
        return actions.change_hire_item(item=self.subject, **form.given(), **common)


class CountHireItem(Verb):
    """Say that there are more or fewer of a thing."""

    form_class, title, may = CountHireItemForm, _("There are more or fewer"), "selling"
    subject_model = HireItem

    def act(self, form: CountHireItemForm, **common: Any) -> HireItemCount:
        return actions.count_hire_item(item=self.subject, **form.given(), **common)


class PlanHire(Verb):
    """Plan something to be hired out with a job."""

    form_class, title, may, button = PlanHireForm, _("Hire something out with it"), "selling", _("Plan it")
    subject_model, template_name = Job, "sales/plan_hire.html"

    def initial(self) -> dict[str, Any]:
        day = self.subject.said.held_on
        return {"first_day": day, "last_day": day + timedelta(1), **super().initial()}

    def form_given(self) -> dict[str, Any]:
        return {"items": HireItem.objects.with_numbers(today())}

    def act(self, form: PlanHireForm, **common: Any) -> JobHire:
        return actions.plan_hire(job=self.subject, **form.given(), **common)


class OfHire(Verb):
    """Something done with a planned hire."""

    may = "packing"

    def find_subject(self) -> None:
        self.subject = get_object_or_404(JobHire.objects.select_related("job", "item"), pk=self.given["pk"])


class SendOut(OfHire):
    """Things of a hire leave."""

    form_class, title, button = SendOutForm, _("Send out"), _("They left")

    def initial(self) -> dict[str, Any]:
        went = sum(self.subject.outs.standing().values_list("quantity", flat=True))
        return {"quantity": max(self.subject.quantity - went, 0) or None, **super().initial()}

    def act(self, form: SendOutForm, **common: Any) -> HireOut:
        return actions.send_out(hire=self.subject, **form.given(), **common)


class BringHireBack(OfHire):
    """Things of a hire come back, whole or broken."""

    form_class, title, button, done = HireBackForm, _("Bring back"), _("Back"), _("Brought back.")
    verb = "bring_hire_back"

    def initial(self) -> dict[str, Any]:
        return {"whole": max(still_out(self.subject), 0) or None, **super().initial()}

    def form_given(self) -> dict[str, Any]:
        return {"sees_money": self.request.user.may("see_takings")}  # type: ignore[union-attr]

    def context(self) -> dict[str, Any]:
        out = still_out(self.subject)
        said = _("%(out)d of them are out.") % {"out": out}
        if self.request.user.may("see_takings") and self.subject.breakage:  # type: ignore[union-attr]
            each = MoneyField().prepare_value(self.subject.breakage)
            said = _("%(said)s One broken or lost is charged %(each)s.") % {"said": said, "each": each}
        return {"intro": said}

    def act(self, form: HireBackForm, **common: Any) -> HireBack:
        return actions.bring_hire_back(hire=self.subject, **form.given(), **common)


class UndoHireItemCount(Undo):
    """Undo a count of a thing."""

    subject_model, may, fact_name = HireItemCount, "selling", "hire_item_count"
    undoing = staticmethod(actions.undo_hire_item_count)


class UndoPlanHire(Undo):
    """Undo a planned hire."""

    subject_model, may, fact_name = JobHire, "selling", "job_hire"
    undoing = staticmethod(actions.undo_plan_hire)


class UndoHireOut(Undo):
    """Undo a sending out."""

    subject_model, may, fact_name = HireOut, "packing", "hire_out"
    undoing = staticmethod(actions.undo_hire_out)


class UndoHireBack(Undo):
    """Undo a coming back."""

    subject_model, may, fact_name = HireBack, "packing", "hire_back"
    undoing = staticmethod(actions.undo_hire_back)
