"""Parts of a piece as they can be copied: from another piece, or from the recipe of a made-up line."""

from __future__ import annotations

from collections.abc import Iterable

from ledger.sales.actions import Part
from ledger.sales.models import JobPiece
from ledger.stock.models import Line, Recipe


def parts_of_piece(piece: JobPiece) -> list[Part]:
    """What goes into one of a piece."""
    rows = piece.parts.select_related("line__variety__species", "variety__species", "material").order_by("pk")
    return [Part(one.quantity, one.line, one.variety, one.material, one.bought, one.cost) for one in rows]


def parts_of_recipe(recipe: Recipe) -> list[Part]:
    """What goes into one by a recipe: its bunches in stems where they are bunched so, loose stems as stems of the usual line.

    Loose stems of a variety that is bunched as no line by stems are fresh ones. A line named twice so is one part.
    """
    rows = list(recipe.parts.select_related("of_line__variety__species", "variety__species", "material").order_by("pk"))
    bunched = _bunched({one.variety_id for one in rows if one.variety_id})
    stems: dict[Line, int] = {}
    others = []
    for one in rows:
        line = one.of_line or bunched.get(one.variety_id or 0)
        if line is not None:
            stems[line] = stems.get(line, 0) + one.quantity * ((one.of_line and one.of_line.stems) or 1)
        else:
            others.append(Part(one.quantity, variety=one.variety, material=one.material))
    return [*(Part(n, line=line) for line, n in stems.items()), *others]


def _bunched(varieties: Iterable[int]) -> dict[int, Line]:
    """By variety the line by stems of it of which most is free, firsts before others."""
    lines = Line.objects.whole().with_free().filter(variety__in=varieties, unit=Line.Unit.BUNCH)
    best = sorted(lines, key=lambda one: (one.free, one.grade == Line.Grade.FIRSTS, -one.pk))  # type: ignore[attr-defined]
    return {line.variety_id: line for line in best if line.variety_id is not None}
