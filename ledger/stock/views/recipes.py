"""Pages of recipes."""

from __future__ import annotations

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from ledger.daybook.models import Material
from ledger.facts.pages import Link, ListPage, Undo, Verb, links_for
from ledger.facts.queries import today
from ledger.growing.models import Variety
from ledger.stock import actions
from ledger.stock.filters import RecipeFilter
from ledger.stock.forms import RecipeForm
from ledger.stock.models import Line, Recipe
from ledger.stock.tables import RecipeTable

from .making_up import begun


class Recipes(ListPage):
    """The recipes in force."""

    model = Recipe
    table_class, filterset_class = RecipeTable, RecipeFilter
    title = _("Recipes")
    intro = _("What one takes; proposed when it is made up, never imposed. A line's page begins or changes its recipe.")

    def get_queryset(self) -> Any:
        return Recipe.objects.in_force(today()).whole().order_by("line__name", "line", "pk")

    def links(self) -> list[Link]:
        return [Link(_("Make up"), reverse("stock:make_up"), "boxes"), Link(_("Bunch lines"), reverse("stock:lines"))]

    def get_context_data(self, **given: Any) -> dict[str, Any]:
        return super().get_context_data(row_template="stock/recipe.html#row", **given)


def recipe(request: HttpRequest, pk: int) -> HttpResponse:
    """One recipe: what one takes."""
    recipe = get_object_or_404(Recipe.objects.whole(), pk=pk)
    links = [
        Link(_("Make it up"), f"{reverse('stock:make_up')}?line={recipe.line_id}&made=1", "boxes"),
        Link(_("Change it from a day on"), reverse("stock:set_recipe", args=[recipe.line_id]), "boxes"),
        Link(_("Undo this recipe"), reverse("stock:undo_recipe", args=[recipe.pk]), "boxes"),
    ]
    parts = recipe.parts.select_related("of_line__variety__species", "variety__species", "material")
    context = {"recipe": recipe, "parts": parts, "links": links_for(request.user, *links) if recipe.stands else []}
    return render(request, "stock/recipe.html", context)


class SetRecipe(Verb):
    """Write what one of a line takes, beginning with its recipe in force."""

    form_class, title, may, button = RecipeForm, _("Recipe"), "boxes", _("Keep the recipe")
    template_name = "stock/set_recipe.html"
    subject_model = Line
    intro = _("What one takes. It is proposed whenever the line is made up from that day on, and can be changed each time.")

    def initial(self) -> dict[str, Any]:
        latest = Recipe.objects.in_force(today()).filter(line=self.subject).first()
        said: dict[str, Any] = {}
        parts = list(latest.parts.select_related("of_line", "variety", "material")) if latest else []
        for kind, pick in RecipeForm.KINDS.items():
            mine = [(getattr(part, kind), part.quantity) for part in parts]
            said |= begun(kind, pick.number, [(thing, quantity) for thing, quantity in mine if thing is not None])
        return {**said, "note": latest.note if latest else "", **super().initial()}

    def form_given(self) -> dict[str, Any]:
        return {
            "lines": list(Line.objects.whole().exclude(pk=self.subject.pk)),
            "materials": list(Material.objects.filter(by_count=False)),
            "varieties": list(Variety.objects.select_related("species")),
        }

    def act(self, form: RecipeForm, **common: Any) -> Recipe:
        given = form.given()
        return actions.set_recipe(line=self.subject, on=given["on"], parts=form.parts(), note=given["note"], **common)


class UndoRecipe(Undo):
    """Undo a recipe."""

    subject_model, may, fact_name = Recipe, "boxes", "recipe"
    undoing = actions.undo_recipe
