"""What room costs: a plot's or drying place's year, charged by unit-days."""

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import pairwise

from ledger.reckoning.space import charge_space
from ledger.reckoning.years import overlap_days, year_bounds, year_of

from .amounts import STAGE_OF, added, less
from .facts import Calendar, CostFacts, Element, Ground, HangingFact, Key, PlantingFact, SpaceFact
from .graph import Graph
from .spending import bills_of, cutting_season

ONE_DAY = timedelta(days=1)


@dataclass(frozen=True)
class Stay:
    """A node holding so much room from a day up to, not including, another."""

    node: Key
    room: int
    first: date
    end: date

    def unit_days(self, starts: date, ends: date) -> int:
        return self.room * overlap_days(self.first, self.end, starts, ends + ONE_DAY)


def charge_plots(graph: Graph, facts: CostFacts) -> None:
    """Charge every plot's years to the plantings that stood on it."""
    stays: dict[int, list[Stay]] = defaultdict(list)
    for one in facts.plantings:
        for plot, stay in _stays(one, facts):
            stays[plot].append(stay)
    for space in (one for one in facts.spaces if one.kind == "plot"):
        _charge_years(graph, facts, space, stays[space.key], "m2-days")


def charge_places(graph: Graph, facts: CostFacts) -> None:
    """Charge every drying place's years to the hangings in it."""
    stays: dict[int, list[Stay]] = defaultdict(list)
    for one in facts.hangings:
        stays[one.place].append(_hung(one, facts.on))
    for space in (one for one in facts.spaces if one.kind == "place"):
        _charge_years(graph, facts, space, stays[space.key], "room-days")


def _stays(planting: PlantingFact, facts: CostFacts) -> Iterator[tuple[int, Stay]]:
    """A planting's days in each plot, cut where its area changes or one season ends and the next begins."""
    end = min(planting.cleared or facts.on + ONE_DAY, facts.on + ONE_DAY)
    steps = [Ground(planting.plot, planting.on, planting.area)] if planting.plot is not None else []
    by_plot: dict[int, list[Ground]] = defaultdict(list)
    for step in sorted([*steps, *planting.ground], key=lambda one: one.on):
        by_plot[step.plot].append(step)
    for plot, changes in by_plot.items():
        for area, first, last in _stretches(changes, end):
            for node, day, until in _by_season(planting, first, last, facts.calendar):
                yield plot, Stay(node, area, day, until)


def bed_days(planting: PlantingFact, first: date, end: date) -> tuple[int, int]:
    """Days from `first` up to, not including, `end` on which a planting held any bed, and its area x days in hundredths.

    Its own clearing ends it.
    """
    last = min(end, planting.cleared or end)
    steps = [Ground(planting.plot, planting.on, planting.area)] if planting.plot is not None else []
    changes = sorted([*steps, *planting.ground], key=lambda one: one.on)
    held = [(area, overlap_days(day, until, first, last)) for area, day, until in _stretches(changes, last)]
    return sum(days for area, days in held if area), sum(area * days for area, days in held)


def _stretches(changes: Sequence[Ground], end: date) -> Iterator[tuple[int, date, date]]:
    """The area held from day to day, until the planting left its beds; nothing where it had none."""
    area = 0
    if not changes:
        return
    edges = [*(step.on for step in changes[1:]), end]
    for step, until in zip(changes, edges, strict=True):
        area += step.area
        if area and step.on < until:
            yield area, step.on, min(until, end)


def _by_season(planting: PlantingFact, first: date, end: date, calendar: Calendar) -> Iterator[tuple[Key, date, date]]:
    """A stretch of days by the node that bears it."""
    if not planting.perennial:
        yield ("planting", planting.key), first, end
        return
    month = calendar.season_first_month
    turns = [date(year, month, 1) for year in range(first.year, end.year + 1)]
    edges = [first, *(day for day in turns if first < day < end), end]
    for day, until in pairwise(edges):
        yield cutting_season(planting, day, calendar), day, until


def _hung(hanging: HangingFact, on: date) -> Stay:
    return Stay(("hanging", hanging.key), hanging.room, hanging.on, hanging.last_day_up or on + ONE_DAY)


def _charge_years(graph: Graph, facts: CostFacts, space: SpaceFact, stays: Sequence[Stay], unit: str) -> None:
    bills = bills_of(space.key, facts.spending, facts.calendar)
    first = [year_of(stay.first, **_ends(facts.calendar)) for stay in stays]
    this_year = year_of(facts.on, **_ends(facts.calendar))
    for year in sorted({*bills, *first, *range(min(first, default=this_year), this_year + 1)}):
        _charge_year(graph, facts, space, stays, unit, year, bills.get(year, {}))


def _charge_year(
    graph: Graph, facts: CostFacts, space: SpaceFact, stays: Sequence[Stay], unit: str, year: int, bills: Mapping[str, int]
) -> None:
    """Charge one year; what is not charged is idle once the year is over, till then charged behind."""
    key: Key = (space.kind, space.key)
    starts, ends = year_bounds(year, **_ends(facts.calendar))
    over = ends <= facts.on
    stage = STAGE_OF[space.kind]
    spent: dict[Element, int] = {(stage, kind): amount for kind, amount in bills.items()}
    expected, normal = space.years.get(year, (0, 0))
    costs = spent if over else _with_expected(spent, stage, expected)
    uses = [stay.unit_days(starts, ends) for stay in stays]
    usual = normal or (0 if over else space.room * ((ends - starts).days + 1))
    charged = _charge(graph, key, stays, uses, costs, usual, unit, final=over)
    left = less(spent, charged)
    if over:
        graph.rest(key, "cost of the year", left, on=ends, event=("idle", year))
    else:
        graph.rest(key, "charged ahead or behind", left, event=("year", year))


def _with_expected(spent: Mapping[Element, int], stage: str, expected: int) -> Mapping[Element, int]:
    """A running year's cost: the bills, topped up to what is expected; unpaid hours stand beside."""
    paid = sum(amount for (_, kind), amount in spent.items() if kind != "unpaid")
    return added(spent, {(stage, "space"): max(0, expected - paid)})


def _charge(
    graph: Graph,
    key: Key,
    stays: Sequence[Stay],
    uses: Sequence[int],
    costs: Mapping[Element, int],
    usual: int,
    unit: str,
    *,
    final: bool,
) -> Mapping[Element, int]:
    whole = max(usual, sum(uses))
    if not whole:
        return {}
    shares: list[dict[Element, int]] = [{} for _ in stays]
    for element, cost in costs.items():
        for share, charge in zip(shares, charge_space(cost, normal=usual, uses=uses)[0], strict=True):
            if charge:
                share[element] = charge
    graph.node(key).final = graph.node(key).final and final
    for stay, use, share in zip(stays, uses, shares, strict=True):
        if use and share:
            graph.flow(key, stay.node, share, use, whole, unit)
    return added(*shares)


def _ends(calendar: Calendar) -> dict[str, int]:
    return {"end_month": calendar.year_end_month, "end_day": calendar.year_end_day}
