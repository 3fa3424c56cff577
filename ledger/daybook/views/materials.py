"""Pages of materials."""

from __future__ import annotations

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from ledger.facts.pages import Link, ListPage, Undo, Verb, links_for, require_may
from ledger.facts.queries import today

from .. import actions
from ..filters import MaterialFilter
from ..forms.materials import CountForm, MaterialForm, RenameMaterialForm, UseForm
from ..models import Material, MaterialCount, MaterialUse
from ..queries import bought_lines
from ..tables import MaterialTable
from .records import AskAgain, page_of

MOST_SHOWN = 25


class Materials(ListPage):
    """All materials with what is on hand."""

    model, table_class, filterset_class, title = Material, MaterialTable, MaterialFilter, _("Materials")
    may = ("work", "money")

    def get_queryset(self) -> Any:
        return Material.objects.with_on_hand(today())

    def links(self) -> list[Link]:
        return [
            Link(_("Use some"), reverse("daybook:use_material"), "work"),
            Link(_("Count one"), reverse("daybook:count_material"), "work"),
            Link(_("Add a material"), reverse("daybook:add_material"), "work"),
            Link(_("Enter a purchase"), reverse("daybook:record_purchase"), "money"),
        ]

    def get_context_data(self, **given: Any) -> dict[str, Any]:
        return super().get_context_data(row_template="daybook/material.html#row", **given)


def material(request: HttpRequest, pk: int) -> HttpResponse:
    """One material: what is on hand, what was bought, used and counted."""
    require_may(request.user, "work", "money")
    found = get_object_or_404(Material.objects.with_on_hand(today()), pk=pk)
    uses = list(found.uses.standing().select_related("spent_on").order_by("-on", "-pk")[:MOST_SHOWN])
    for use in uses:
        use.page = page_of(use.spent_on)
    about = {
        "material": found, "uses": uses, "counts": found.counts.standing().order_by("-on", "-pk")[:MOST_SHOWN],
        "bought": bought_lines(pk, today()).select_related("purchase")[:MOST_SHOWN],
        "links": links_for(
            request.user,
            Link(_("Use some"), f"{reverse('daybook:use_material')}?material={pk}", "work"),
            Link(_("Count it"), f"{reverse('daybook:count_material')}?material={pk}", "work"),
            Link(_("Enter a purchase of it"), f"{reverse('daybook:record_purchase')}?spent_on={pk}", "money"),
            Link(_("Change its name"), reverse("daybook:rename_material", args=[pk]), "work"),
        ),
    }
    return render(request, "daybook/material.html", about)


class AddMaterial(Verb):
    """Name a material."""

    form_class, title, may, button = MaterialForm, _("Add a material"), "work", _("Add it")

    def act(self, form: MaterialForm, **common: Any) -> Material:
        return actions.add_material(**form.given(), **common)


class RenameMaterial(Verb):
    """Change a material's name."""

    form_class, title, may, button = RenameMaterialForm, _("Change its name"), "work", _("Change it")
    subject_model = Material

    def initial(self) -> dict[str, Any]:
        return {"name": self.subject.name, "seen": self.subject.name}

    def act(self, form: RenameMaterialForm, **common: Any) -> Material:
        given = form.given()
        return actions.rename_material(material=self.subject, name=given["name"], seen={"name": given["seen"]}, **common)


class UseMaterial(AskAgain, Verb):
    """Note what of a material went into one thing."""

    form_class, title, may, button = UseForm, _("Use a material"), "work", _("Note it")
    template_name = "daybook/use_material.html"

    def act(self, form: UseForm, **common: Any) -> MaterialUse:
        return actions.use_material(**form.given(), **common)


class CountMaterial(Verb):
    """Count a material."""

    form_class, title, may, button = CountForm, _("Count a material"), "work", _("Note the count")
    intro = _("What there is at the end of that day, whatever was bought and used until then.")

    def act(self, form: CountForm, **common: Any) -> MaterialCount:
        return actions.count_material(**form.given(), **common)


class UndoMaterialUse(Undo):
    """Undo what was noted as used."""

    subject_model, may, fact_name = MaterialUse, "work", "use"
    undoing = actions.undo_material_use


class UndoMaterialCount(Undo):
    """Undo a count."""

    subject_model, may, fact_name = MaterialCount, "work", "count"
    undoing = actions.undo_material_count
