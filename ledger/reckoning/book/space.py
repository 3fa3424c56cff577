"""What room costs: a plot's or drying place's year, charged by unit-days."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import pairwise

from ledger.reckoning.space import charge_space
from ledger.reckoning.years import overlap_days, year_bounds, year_of

from .amounts import STAGE_OF, added, less
from .facts import Calendar, CostFacts, Element, HangingFact, Key, PlantingFact, SpaceFact
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
    for space in (one for one in facts.spaces if one.kind == "plot"):
        stays = [stay for one in facts.plantings if one.plot == space.key for stay in _stays(one, facts)]
        _charge_years(graph, facts, space, stays, "m2-days")


def charge_places(graph: Graph, facts: CostFacts) -> None:
    """Charge every drying place's years to the hangings in it."""
    for space in (one for one in facts.spaces if one.kind == "place"):
        stays = [_hung(one, facts.on) for one in facts.hangings if one.place == space.key]
        _charge_years(graph, facts, space, stays, "room-days")


def _stays(planting: PlantingFact, facts: CostFacts) -> list[Stay]:
    """A planting's days in its bed, cut where one season ends and the next begins."""
    end = min(planting.cleared or facts.on + ONE_DAY, facts.on + ONE_DAY)
    if not planting.perennial:
        return [Stay(("planting", planting.key), planting.area, planting.on, end)]
    month = facts.calendar.season_first_month
    turns = [date(year, month, 1) for year in range(planting.on.year, end.year + 1)]
    edges = [planting.on, *(day for day in turns if planting.on < day < end), end]
    return [
        Stay(cutting_season(planting, first, facts.calendar), planting.area, first, last)
        for first, last in pairwise(edges)
    ]


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
