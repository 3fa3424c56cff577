"""The verbs of materials: named, used, counted. What is on hand never stands in the way of an entry."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date

from django.utils.translation import gettext_lazy as _

from ledger.facts.actions import change_details, undo_within
from ledger.facts.models import CostObject, User
from ledger.facts.writing import action, keep, open_cost_object, record

from ..models import Material, MaterialCount, MaterialUse
from .spent_on import refuse_material


@action("work")
def add_material(*, by: User, name: str, unit: str, by_count: bool = False) -> Material:
    """Name a material and what it is counted in."""
    material = Material(name=name, unit=unit, by_count=by_count)
    material.full_clean(exclude=["cost_object"])
    material.cost_object = open_cost_object("material", name)
    return keep(material)


@action("work")
def rename_material(*, by: User, material: Material, name: str, seen: Mapping[str, str] | None = None) -> Material:
    """Change a material's name, keeping what it was called before."""
    material = change_details(material, by=by, seen=dict(seen or {}), changes={"name": name})
    material.cost_object.label = name
    keep(material.cost_object)
    return material


@action("work")
def use_material(
    *, by: User, material: Material, on: date, quantity: int, spent_on: CostObject, note: str = ""
) -> MaterialUse:
    """Note what of a material went into one thing, also where more is used than was ever entered as bought."""
    refuse_material([(spent_on, 1)], _("A material goes into what is grown, dried, made or sold, not into a material."))
    return record(MaterialUse(material=material, on=on, quantity=quantity, spent_on=spent_on, note=note), by=by)


@action("work")
def count_material(*, by: User, material: Material, on: date, counted: int, note: str = "") -> MaterialCount:
    """Note how much of a material there was at the end of a day."""
    return record(MaterialCount(material=material, on=on, counted=counted, note=note), by=by)


@action("work")
def undo_material_use(*, by: User, use: MaterialUse) -> MaterialUse:
    """Undo what was noted as used."""
    return undo_within(use, by=by)


@action("work")
def undo_material_count(*, by: User, count: MaterialCount) -> MaterialCount:
    """Undo a count."""
    return undo_within(count, by=by)
