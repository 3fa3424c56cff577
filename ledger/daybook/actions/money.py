"""The verbs of purchases and of what space costs in a year."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from django.utils.translation import gettext_lazy as _

from ledger.facts.actions import undo_within
from ledger.facts.models import CostKind, CostObject, User
from ledger.facts.queries import tax_comes_back_on
from ledger.facts.writing import action, keep, record, refusal

from ..models import Purchase, PurchaseLine, PurchaseShare, YearOfSpace
from .spent_on import SpentOn, check_spent_on

LONGEST_STRETCH = 40 * 366  # days


@dataclass(frozen=True)
class BoughtLine:
    """One line of a purchase, in minor units; `spent_on` names what bears it, by weight.

    `quantity` is how many units came of the one material that it buys.
    """

    description: str
    kind: CostKind
    net: int
    tax: int
    spent_on: SpentOn
    covers_from: date | None = None
    covers_to: date | None = None
    quantity: int | None = None


@action("money")
def record_purchase(*, by: User, on: date, supplier: str, lines: Sequence[BoughtLine], reference: str = "") -> Purchase:
    """Record a bill with its lines; whether tax comes back is the seller's status that day."""
    if not lines:
        raise refusal(None, _("A purchase needs at least one line."), code="no_lines")
    purchase = record(Purchase(on=on, supplier=supplier, reference=reference), by=by)
    comes_back = tax_comes_back_on(on)
    for line in lines:
        _bought(purchase, line, comes_back)
    return purchase


def _bought(purchase: Purchase, bought: BoughtLine, comes_back: bool) -> PurchaseLine:
    check_spent_on(bought.spent_on)
    _check_material(bought)
    _check_stretch(bought.covers_from, bought.covers_to)
    line = keep(
        PurchaseLine(
            purchase=purchase, description=bought.description, kind=bought.kind, net=bought.net, tax=bought.tax,
            tax_comes_back=comes_back, covers_from=bought.covers_from, covers_to=bought.covers_to,
            quantity=bought.quantity,
        )
    )
    for one, weight in bought.spent_on:
        keep(PurchaseShare(purchase=purchase, line=line, spent_on=one, weight=weight))
    return line


def _check_material(bought: BoughtLine) -> None:
    """A material is bought by a line of its own that says how many; what is no material has no such number."""
    material = any(one.kind == CostObject.Kind.MATERIAL for one, _weight in bought.spent_on)
    if material and len(bought.spent_on) > 1:
        raise refusal("spent_on", _("A material is bought by a line of its own."), code="material_alone")
    if material and not bought.quantity:
        raise refusal("quantity", _("Say how many units of the material came."), code="material_quantity")
    if material and (bought.covers_from or bought.covers_to):
        raise refusal("covers_from", _("A material is used up, not spread over days."), code="material_stretch")
    if not material and bought.quantity is not None:
        raise refusal("quantity", _("Only a material is bought by number."), code="no_material")


def _check_stretch(first: date | None, last: date | None) -> None:
    if (first is None) != (last is None):
        raise refusal("covers_to", _("A stretch needs a first and a last day, in that order."), code="half_a_stretch")
    if first and last and (last - first).days > LONGEST_STRETCH:
        raise refusal("covers_to", _("A bill covers forty years at most; check the year."), code="too_long")


@action("money")
def set_year_of_space(
    *, by: User, space: CostObject, on: date, year: int, expected_cost: int, normal_unit_days: int = 0,
    normal_source: str = "",
) -> YearOfSpace:
    """Record what a plot or drying place is expected to cost in a year, and its normal use."""
    if space.kind not in {"plot", "place"}:
        raise refusal("space", _("Only a plot or a drying place has a year of space."), code="no_space")
    return record(
        YearOfSpace(
            space=space, on=on, year=year, expected_cost=expected_cost, normal_unit_days=normal_unit_days,
            normal_source=normal_source,
        ),
        by=by,
    )


@action("money")
def undo_purchase(*, by: User, purchase: Purchase) -> Purchase:
    """Undo a purchase with all its lines."""
    return undo_within(purchase, by=by)


@action("money")
def undo_year_of_space(*, by: User, year_of_space: YearOfSpace) -> YearOfSpace:
    """Undo a space's year."""
    return undo_within(year_of_space, by=by)
