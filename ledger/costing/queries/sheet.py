"""The cost sheet of a line: what one unit costs, layer by layer, and what to charge by each way."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date, datetime

from django.utils.translation import gettext_lazy as _

from ledger.facts.queries import holding
from ledger.reckoning.book import STAGES_TO_THE_BOX, Element, LineHeld, part_of
from ledger.reckoning.taking import proportion
from ledger.reckoning.years import year_of
from ledger.stock.models import Line

from ..models import OverheadPlan
from .bases import Bases
from .book import book


@dataclass(frozen=True)
class Layer:
    """One layer of a unit's cost, in millionths: its part of stock cost and of cost to the shelf."""

    name: str
    stock: int
    shelf: int


@dataclass(frozen=True)
class CostSheet:
    """What one unit of a line costs as of a day, in millionths.

    `batches` are those it rests on: those with units on hand that carry a
    cost, else the last one made; `units` how many. `known` is False while a source is too early to
    say; `final` while later facts of the season may still change it.
    """

    line: Line
    on: date
    batches: tuple[int, ...] = ()
    units: int = 0
    final: bool = True
    known: bool = True
    layers: tuple[Layer, ...] = field(default_factory=tuple)

    @property
    def stock_cost(self) -> int:
        return sum(layer.stock for layer in self.layers)

    @property
    def shelf_cost(self) -> int:
        return sum(layer.shelf for layer in self.layers)


def cost_sheet(line: Line, on: date, known: datetime | None = None) -> CostSheet:
    """What one unit of a line costs as of a day; without layers where no batch was made yet."""
    return cost_sheets([line], on, known)[line.pk]


def cost_sheets(lines: Iterable[Line], on: date, known: datetime | None = None) -> dict[int, CostSheet]:
    """The cost sheets of several lines by the line's key, in as many queries as that of one."""
    held, bases, plan = book(on, known).lines, Bases(on, known), overhead_plan_on(on, known)
    return {line.pk: _sheet(line, on, held.get(line.pk), bases, plan) for line in lines}


def _sheet(line: Line, on: date, held: LineHeld | None, bases: Bases, plan: OverheadPlan | None) -> CostSheet:
    if held is None:
        return CostSheet(line, on, known=False)
    per_unit = {element: amount for element, amount in part_of(held.amounts, 1, held.units).items() if amount}
    return CostSheet(
        line=line, on=on, batches=tuple(held.batches), units=held.units, layers=layers_of(per_unit, bases, plan),
        final=held.final, known=held.known,
    )


def layers_of(per_unit: Mapping[Element, int], bases: Bases, plan: OverheadPlan | None) -> tuple[Layer, ...]:
    """The layers of a unit that carries these amounts on the path to the box, overheads on top."""
    return (*_path_layers(per_unit, bases), *_overhead_layers(per_unit, bases, plan))


def _path_layers(per_unit: Mapping[Element, int], bases: Bases) -> Iterable[Layer]:
    order = {stage: place for place, stage in enumerate(STAGES_TO_THE_BOX)}
    for element in sorted(per_unit, key=lambda one: (order[one[0]], one[1])):
        amount = per_unit[element]
        yield Layer(
            bases.name(element),
            amount if bases.in_stock(element) else 0,
            amount if bases.in_shelf(element) else 0,
        )


def _overhead_layers(per_unit: Mapping[Element, int], bases: Bases, plan: OverheadPlan | None) -> Iterable[Layer]:
    """The year's expected storage, overheads and usual misfortune, on the usual base."""
    if plan is None:
        return
    base = sum(amount for element, amount in per_unit.items() if bases.in_shelf(element))
    for name, amount in (
        (_("Storage after boxing"), plan.storage),
        (_("Overheads of the year"), plan.overheads),
        (_("Usual idle space and bad luck"), plan.usual_idle_and_luck),
    ):
        if amount:
            yield Layer(str(name), 0, proportion(base, amount, plan.usual_base))


def overhead_plan_on(on: date, known: datetime | None = None) -> OverheadPlan | None:
    """The overheads planned for the day's year, else for the latest year before it, as known at a moment (None: now).

    A plan counts for the whole of its year, whenever in it or after it was entered.
    """
    kept = holding()
    year = year_of(on, end_month=kept.year_end_month, end_day=kept.year_end_day)
    plans = OverheadPlan.objects.as_of(date.max, known).filter(year__lte=year)
    return plans.order_by("-year", "-pk").first()
