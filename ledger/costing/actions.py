"""The verbs of costing: planning a year's overheads, moving a kind of cost from one basis to another."""

from __future__ import annotations

from datetime import date

from ledger.facts.actions import undo_within
from ledger.facts.models import CostKind, User
from ledger.facts.writing import action, record

from .models import KindBasis, OverheadPlan


@action("money")
def plan_overheads(
    *, by: User, on: date, year: int, overheads: int, usual_idle_and_luck: int, usual_base: int, storage: int = 0,
    source: str = "",
) -> OverheadPlan:
    """Record a year's expected overheads and storage, and the usual base they are spread on, in minor units."""
    plan = OverheadPlan(
        on=on, year=year, overheads=overheads, usual_idle_and_luck=usual_idle_and_luck,
        usual_base=usual_base, storage=storage, source=source,
    )
    return record(plan, by=by)


@action("money")
def undo_overhead_plan(*, by: User, plan: OverheadPlan) -> OverheadPlan:
    """Undo a plan of overheads."""
    return undo_within(plan, by=by)


@action("books")
def move_kind(*, by: User, kind: CostKind, on: date, in_stock: bool, in_shelf: bool, why: str) -> KindBasis:
    """Let a kind of cost belong to these bases from a day on."""
    return record(KindBasis(kind=kind, on=on, in_stock=in_stock, in_shelf=in_shelf, why=why), by=by)


@action("books")
def undo_move_of_kind(*, by: User, basis: KindBasis) -> KindBasis:
    """Undo it: what held before holds again."""
    return undo_within(basis, by=by)
