"""What lines are made of, as far as the ledger knows: the species in them, and so what to beware of."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from typing import TYPE_CHECKING, Any

from django.db.models import QuerySet

from ledger.facts.queries import today
from ledger.growing.models import Species

from .sets import rows_of

if TYPE_CHECKING:
    from ledger.stock.models import Line

STEMS = ("hanging__parting__lot", "parting__lot", "oddments__hanging__parting__lot")


def species_of(lines: Iterable[Line], on: date | None = None) -> list[Species]:
    """The species in lines, by name: of a line without a variety those of all it was ever made from and of its recipe.

    Follows made-up goods into the lines they used, as deep as those go.
    """
    found: set[int] = set()
    seen: set[int] = set()
    wanted = {line.pk for line in lines}
    while wanted:
        seen |= wanted
        own = rows_of("Line").filter(pk__in=wanted).values_list("pk", "variety__species")
        found |= {species for _pk, species in own if species}
        mixed = [pk for pk, species in own if not species]
        if not mixed:
            break
        found |= _stems_in(mixed) | _said_by(mixed, on or today())
        wanted = _lines_in(mixed, on or today()) - seen
    return list(Species.objects.filter(pk__in=found).order_by("name", "pk"))


def cautions_for(lines: Iterable[Line]) -> list[tuple[str, str]]:
    """(species, its caution) of each poisonous or irritant species in the lines, once, by name."""
    return [(str(one), one.caution) for one in species_of(lines) if one.caution]


def _stems_in(lines: list[int]) -> set[int]:
    inputs = rows_of("RunInput").filter(run__undone_at__isnull=True, run__batches__line__in=lines)
    return {one for path in STEMS for one in _whole(inputs, f"{path}__planting__variety__species")}


def _said_by(lines: list[int], on: date) -> set[int]:
    parts = rows_of("RecipePart").filter(recipe__in=rows_of("Recipe").in_force(on).filter(line__in=lines))
    return _whole(parts, "variety__species")


def _lines_in(lines: list[int], on: date) -> set[int]:
    drawn = rows_of("Movement").standing().filter(run__batches__line__in=lines)
    parts = rows_of("RecipePart").filter(recipe__in=rows_of("Recipe").in_force(on).filter(line__in=lines))
    return _whole(drawn, "batch__line") | _whole(parts, "of_line")


def _whole(rows: QuerySet[Any], field: str) -> set[int]:
    return set(rows.order_by().filter(**{f"{field}__isnull": False}).values_list(field, flat=True).distinct())
