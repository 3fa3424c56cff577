"""Recipes."""

from datetime import date

import pytest
from django.core.exceptions import PermissionDenied

from ledger.stock.actions import set_recipe, undo_recipe
from ledger.stock.models import Recipe
from tests.factories.drying import VarietyFactory
from tests.factories.made_up import MaterialFactory, wreath
from tests.refusals import refused

MARCH_1, AUGUST_5 = date(2024, 3, 1), date(2024, 8, 5)


def test_a_recipe_says_what_one_takes(hand, line):
    """A wreath: two bunches, fifteen loose stems and a ring."""
    variety, ring = VarietyFactory(), MaterialFactory()

    recipe = set_recipe(by=hand, on=MARCH_1, line=wreath(), parts=[(line, 2), (variety, 15), (ring, 1)], note="as in Ada's book")

    assert [(part.what, part.quantity) for part in recipe.parts.all()] == [(line, 2), (variety, 15), (ring, 1)]


def test_the_latest_recipe_is_in_force(owner, line):
    """Three bunches instead of two from August on; undone, two again."""
    ready = wreath()
    first = set_recipe(by=owner, on=MARCH_1, line=ready, parts=[(line, 2)])
    later = set_recipe(by=owner, on=AUGUST_5, line=ready, parts=[(line, 3)])

    assert Recipe.objects.in_force(date(2024, 8, 4)).get(line=ready) == first
    assert Recipe.objects.in_force(AUGUST_5).get(line=ready) == later
    undo_recipe(by=owner, recipe=later)
    assert Recipe.objects.in_force(AUGUST_5).get(line=ready) == first


@pytest.mark.parametrize(("names", "code"), [((), "no_parts"), (("ready",), "of_itself"), (("line", "line"), "twice")])
def test_absurd_recipes_are_refused(owner, line, names, code):
    """Something else goes into one, each thing named once."""
    ready = wreath()
    things = {"ready": ready, "line": line}

    with refused(code):
        set_recipe(by=owner, on=MARCH_1, line=ready, parts=[(things[name], 2) for name in names])


def test_a_seller_writes_no_recipe(seller, line):
    """Recipes are for those who make things up."""
    with pytest.raises(PermissionDenied):
        set_recipe(by=seller, on=MARCH_1, line=wreath(), parts=[(line, 2)])
