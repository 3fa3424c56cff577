"""Recipes: what one of a made-up line takes."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from django.utils.translation import gettext_lazy as _

from ledger.daybook.models import Material
from ledger.facts.actions import undo_within
from ledger.facts.models import User
from ledger.facts.writing import action, keep, record, refusal
from ledger.growing.models import Variety
from ledger.stock.models import Line, Recipe, RecipePart

FIELDS = {Line: "of_line", Variety: "variety", Material: "material"}


@action("boxes")
def set_recipe(
    *, by: User, on: date, line: Line, parts: Sequence[tuple[Line | Variety | Material, int]], note: str = ""
) -> Recipe:
    """Record what one of a line takes from a day on: bunches of lines, loose stems of varieties, units of materials."""
    if not parts:
        raise refusal("parts", _("Say what goes into one."), code="no_parts")
    if any(what == line for what, _quantity in parts):
        raise refusal("parts", _("A thing is not made of itself."), code="of_itself")
    if len({(type(what), what.pk) for what, _quantity in parts}) < len(parts):
        raise refusal("parts", _("Name each thing once."), code="twice")
    recipe = record(Recipe(on=on, line=line, note=note), by=by)
    for what, quantity in parts:
        keep(RecipePart(recipe=recipe, quantity=quantity, **{FIELDS[type(what)]: what}))
    return recipe


@action("boxes")
def undo_recipe(*, by: User, recipe: Recipe) -> Recipe:
    """Undo a recipe; the one before it is proposed again."""
    return undo_within(recipe, by=by)
