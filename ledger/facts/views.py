"""Pages of the holding: its names, its people, its tax by date."""

from __future__ import annotations

from typing import Any

from django.core.exceptions import PermissionDenied
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from . import actions, forms
from .models import Amendment, Holding, TaxRate, TaxStatus, User
from .pages import Link, ListPage, Undo, Verb, links_for
from .queries import holding as the_holding
from .queries import tax_status_on, today
from .tables import PeopleTable, TaxRateTable, TaxStatusTable

SEES_TAX = ("settings", "see_takings")
NAMES = ("name", "address", "stock_method")


def holding(request: HttpRequest) -> HttpResponse:
    """What the holding is, and how its names changed."""
    if not Link("", "", SEES_TAX).open_to(request.user):
        raise PermissionDenied(_("Your role does not allow this page."))
    links = [
        Link(_("Change names and method"), reverse("facts:change_holding"), "settings"),
        Link(_("People"), reverse("facts:people"), "settings"),
        Link(_("Tax status"), reverse("facts:tax_statuses"), SEES_TAX),
        Link(_("Tax rates"), reverse("facts:tax_rates"), SEES_TAX),
    ]
    about = {
        "links": links_for(request.user, *links),
        "status": tax_status_on(today()),
        "amendments": Amendment.objects.filter(model=Holding._meta.label).select_related("by")[:50],
    }
    return render(request, "facts/holding.html", about)


class ChangeHolding(Verb):
    """Change the holding's name, address or method."""

    form_class, title, may, button = forms.HoldingForm, _("Change names and method"), "settings", _("Keep")

    def initial(self) -> dict[str, Any]:
        now = {name: getattr(the_holding(), name) for name in NAMES}
        return {**now, **{f"seen_{name}": value for name, value in now.items()}}

    def act(self, form: forms.HoldingForm, **common: Any) -> Holding:
        given = form.given()
        seen = {name: given.pop(f"seen_{name}") for name in NAMES}
        return actions.change_holding(seen=seen, **given, **common)

    def then(self, result: Holding) -> str:
        return reverse("facts:holding")


class People(ListPage):
    """Those who sign in, and their roles."""

    model, table_class, filterset_fields = User, PeopleTable, ("role",)
    queryset = User.objects.order_by("username")
    title, may = _("People"), "settings"

    def links(self) -> list[Link]:
        return [Link(_("Add a person"), reverse("facts:add_person"))]

    def get_context_data(self, **given: Any) -> dict[str, Any]:
        return super().get_context_data(row_template="facts/people.html#row", **given)


class AddPerson(Verb):
    """Let another person sign in."""

    form_class, title, may, button = forms.PersonForm, _("Add a person"), "settings", _("Add")

    def act(self, form: forms.PersonForm, **common: Any) -> User:
        return actions.add_person(**form.given(), **common)

    def then(self, result: User) -> str:
        return reverse("facts:people")


class ChangePerson(Verb):
    """Change a person's role, or whether they may sign in."""

    form_class, title, may, button = forms.ChangePersonForm, _("Change a person"), "settings", _("Keep")
    subject_model = User

    def initial(self) -> dict[str, Any]:
        return {"role": self.subject.role, "is_active": self.subject.is_active}

    def act(self, form: forms.ChangePersonForm, **common: Any) -> User:
        return actions.change_person(person=self.subject, **form.given(), **common)

    def then(self, result: User) -> str:
        return reverse("facts:people")


class TaxStatuses(ListPage):
    """The seller's tax status by date."""

    model, table_class, filterset_fields = TaxStatus, TaxStatusTable, ("status",)
    queryset = TaxStatus.objects.standing().order_by("-on", "-pk")
    title, may, intro = _("Tax status"), SEES_TAX, forms.TAX_CAUTION

    def links(self) -> list[Link]:
        return [Link(_("Enter a tax status"), reverse("facts:set_tax_status"), "settings")]

    def get_context_data(self, **given: Any) -> dict[str, Any]:
        return super().get_context_data(row_template="facts/tax.html#status", **given)


class TaxRates(ListPage):
    """The tax rates by date."""

    model, table_class, filterset_fields = TaxRate, TaxRateTable, ("code",)
    queryset = TaxRate.objects.standing().order_by("-on", "-pk")
    title, may, intro = _("Tax rates"), SEES_TAX, forms.TAX_CAUTION

    def links(self) -> list[Link]:
        return [Link(_("Enter a tax rate"), reverse("facts:set_tax_rate"), "settings")]

    def get_context_data(self, **given: Any) -> dict[str, Any]:
        return super().get_context_data(row_template="facts/tax.html#rate", **given)


class SetTaxStatus(Verb):
    """Enter a tax status from a day on."""

    form_class, title, may = forms.TaxStatusForm, _("Enter a tax status"), "settings"

    def act(self, form: forms.TaxStatusForm, **common: Any) -> TaxStatus:
        return actions.set_tax_status(**form.given(), **common)

    def then(self, result: TaxStatus) -> str:
        return reverse("facts:tax_statuses")


class SetTaxRate(Verb):
    """Enter a tax rate from a day on."""

    form_class, title, may = forms.TaxRateForm, _("Enter a tax rate"), "settings"

    def act(self, form: forms.TaxRateForm, **common: Any) -> TaxRate:
        return actions.set_tax_rate(**form.given(), **common)

    def then(self, result: TaxRate) -> str:
        return reverse("facts:tax_rates")


class UndoTaxStatus(Undo):
    """Undo a tax status."""

    subject_model, may, fact_name = TaxStatus, "settings", "tax_status"
    undoing = staticmethod(actions.undo_tax_status)

    def then(self, result: TaxStatus) -> str:
        return reverse("facts:tax_statuses")


class UndoTaxRate(Undo):
    """Undo a tax rate."""

    subject_model, may, fact_name = TaxRate, "settings", "tax_rate"
    undoing = staticmethod(actions.undo_tax_rate)

    def then(self, result: TaxRate) -> str:
        return reverse("facts:tax_rates")
