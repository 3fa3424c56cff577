"""From room and plantings to lots: shares by days and area, seasons of a life, stems cut and expected."""

from collections import defaultdict
from collections.abc import Iterator
from datetime import date, timedelta

from ledger.reckoning.book import CostFacts, LotFact, PlantingFact, SpaceFact, season_key
from ledger.reckoning.sharing import MILLION
from ledger.reckoning.years import year_bounds, year_of

from .spending import ONE_DAY, Seasons, days_within, ends_of
from .system import Node, Share, System

Used = dict[tuple[int, int], dict[Node, int]]


def grow(system: System, facts: CostFacts) -> None:
    """Write down plots and drying places, plantings and what their lots take."""
    seasons = Seasons(facts)
    _charge(system, facts, "plot", _area_days(facts, seasons))
    _charge(system, facts, "place", _room_days(facts))
    lots: dict[Node, list[LotFact]] = defaultdict(list)
    for lot in facts.lots:
        planting = seasons.plantings[lot.planting]
        lots[seasons.node(planting, seasons.of_cut(planting, lot.on))].append(lot)
    for planting in facts.plantings:
        if planting.perennial:
            _live(system, facts, seasons, planting, lots)
        else:
            _give(system, facts, seasons, planting, planting.season, lots)


def _area_days(facts: CostFacts, seasons: Seasons) -> Used:
    """Hundredths of m2 x days by plot and books' year and by the node they are charged to, day by day."""
    used: Used = defaultdict(lambda: defaultdict(int))
    for planting in facts.plantings:
        for on in _days(planting, facts.on):
            for plot, area in _areas(planting, on).items():
                node = seasons.node(planting, seasons.of_cut(planting, on))
                used[plot, year_of(on, **ends_of(facts))][node] += area
    return used


def _days(planting: PlantingFact, today: date) -> Iterator[date]:
    end = min(planting.cleared or date.max, today + ONE_DAY)
    for number in range((end - planting.on).days):
        yield planting.on + timedelta(days=number)


def _areas(planting: PlantingFact, on: date) -> dict[int, int]:
    """What area of which plot a planting holds on a day."""
    areas: dict[int, int] = defaultdict(int)
    if planting.plot is not None:
        areas[planting.plot] += planting.area
    for step in planting.ground:
        if step.on <= on:
            areas[step.plot] += step.area
    return areas


def _room_days(facts: CostFacts) -> Used:
    """Room x days by drying place and books' year and by hanging."""
    used: Used = defaultdict(lambda: defaultdict(int))
    for one in facts.hangings:
        moves = [(other.on, other.stems) for other in facts.hangings if other.moved_from == one.key]
        left = [*moves, *((day, stems) for day, stems, _ in one.takings)]
        gone = sum(stems for _, stems in left) == one.stems
        end = max(day for day, _ in left) if gone else facts.on + ONE_DAY
        for year in range(year_of(one.on, **ends_of(facts)), year_of(end, **ends_of(facts)) + 1):
            used[one.place, year]["hanging", one.key] += one.room * days_within(one.on, end, year, facts)
    return used


def _charge(system: System, facts: CostFacts, kind: str, used: Used) -> None:
    for space in (one for one in facts.spaces if one.kind == kind):
        billed = {int(node[0].split()[1]) for node in system.rows if node[1] == space.key and node[0].startswith(f"{kind} ")}
        for year in {*billed, *(year for key, year in used if key == space.key)}:
            _charge_year(system, facts, space, year, used.get((space.key, year), {}))


def _charge_year(system: System, facts: CostFacts, space: SpaceFact, year: int, uses: dict[Node, int]) -> None:
    """A year's bills, topped up while it runs, over the larger of normal and actual use; the rest is idle or waits."""
    starts, ends = year_bounds(year, **ends_of(facts))
    bills, charge = (f"{space.kind} {year}", space.key), (f"{space.kind} {year}, charged", space.key)
    expected, normal = space.years.get(year, (0, 0))
    running = ends > facts.on
    if running and not normal:
        normal = space.room * ((ends - starts).days + 1)
    spent, paid = system.spent(bills), 0.0
    for element, amount in spent.items():
        system.spend(charge, element, amount, system.rough[bills])
        paid += 0 if element[1] == "unpaid" else amount
    if running and expected > paid:
        system.spend(charge, ({"plot": "bed_space", "place": "drying_space"}[space.kind], "space"), expected - paid)
    whole = max(normal, sum(uses.values()))
    rest: Node = ("rest", "charged ahead or behind" if running else "cost of the year")
    system.hand(bills, rest, 1.0)
    for node, use in uses.items():
        system.hand(charge, node, use / whole)
        system.hand(charge, rest, -use / whole)


def _live(system: System, facts: CostFacts, seasons: Seasons, planting: PlantingFact, lots: dict[Node, list[LotFact]]) -> None:
    """A perennial: each season begun takes its part of what is left of the establishing cost, daughters theirs."""
    node: Node = ("planting", planting.key)
    standing = facts.on if planting.cleared is None else min(facts.on, planting.cleared - ONE_DAY)
    begun = list(range(planting.season, seasons.season(standing) + 1))
    left = 1.0
    for season in [planting.season - 1, *begun]:
        if season in begun:
            part = left / max(1, _life(planting, seasons, season) - (season - planting.season))
            system.hand(node, season_key(planting.key, season), part, 1 + season - planting.season)
            left -= part
        for one in planting.divisions:
            fresh = one.on <= planting.on
            taken_in = planting.season - 1 if fresh else max(seasons.season(one.on), planting.season - 1)
            if season == min(taken_in, (begun or [planting.season - 1])[-1]):
                system.hand(node, ("planting", one.daughter), left * one.parts / one.of_parts, 2 + len(begun))
                left -= left * one.parts / one.of_parts
    gone = planting.cleared is not None and planting.cleared <= facts.on
    system.hand(node, ("rest", "written off" if gone else "plants"), left, 2 + len(begun))
    for season in begun:
        _give(system, facts, seasons, planting, season, lots)
    coming = season_key(planting.key, seasons.season(standing) + 1)
    if coming in system.rows:
        system.hand(coming, ("rest", "plants"), 1.0)


def _life(planting: PlantingFact, seasons: Seasons, season: int) -> int:
    """The life last estimated by the end of a season."""
    known = [life for on, life in planting.lives if on <= seasons.last_day(season)]
    return known[-1] if known else planting.productive_seasons


def _give(
    system: System, facts: CostFacts, seasons: Seasons, planting: PlantingFact, season: int, lots: dict[Node, list[LotFact]]
) -> None:
    """What a season's lots take of it by stems: all once it is over, till then what stems expected leave them."""
    node = seasons.node(planting, season if planting.perennial else None)
    last = min(seasons.last_day(season), planting.cleared or date.max)
    stems = sum(lot.stems for lot in lots[node])
    released: Share = 1.0 if stems else 0.0
    if last > facts.on:
        released = _so_far(node, stems, planting.expected.get(season))
    for lot in lots[node]:
        system.hand(node, ("lot", lot.key), _times(released, lot.stems / stems), 3)
    system.hand(node, ("rest", "growing" if last > facts.on else "cost of the year"), _less(released), 3)


def _so_far(node: Node, stems: int, expected: tuple[int, int | None] | None) -> Share:
    """The part of the cost so far that the stems cut so far bear; nothing where no number is expected."""
    if expected is None or not stems:
        return 0.0
    part, planned = stems / max(stems, expected[0]), (expected[1] or 0) * MILLION

    def share(totals) -> float:
        cost = totals(node)
        return min(1.0, max(cost, planned) * part / cost) if cost else 0.0

    return share


def _times(share: Share, factor: float) -> Share:
    return share * factor if isinstance(share, float) else lambda totals: share(totals) * factor


def _less(share: Share) -> Share:
    return 1.0 - share if isinstance(share, float) else lambda totals: 1.0 - share(totals)
