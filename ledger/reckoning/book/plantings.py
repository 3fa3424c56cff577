"""From plantings to lots: what the stems cut so far carry, and what is still growing."""

from collections import defaultdict
from collections.abc import Sequence
from datetime import date
from graphlib import TopologicalSorter

from ledger.reckoning.sharing import MILLION
from ledger.reckoning.taking import provisional_release
from ledger.reckoning.years import season_bounds, season_of

from .amounts import less, part_of, parted, total
from .facts import Calendar, CostFacts, Division, Element, Key, LotFact, PlantingFact
from .graph import Graph
from .spending import ONE_DAY, cutting_season, season_key


def release_plantings(graph: Graph, facts: CostFacts) -> None:
    """Hand the cost of every planting on to the lots cut from it."""
    plantings = {one.key: one for one in facts.plantings}
    lots: dict[Key, list[LotFact]] = defaultdict(list)
    for lot in sorted(facts.lots, key=lambda one: (one.on, one.key)):
        lots[cutting_season(plantings[lot.planting], lot.on, facts.calendar)].append(lot)
    for planting in mothers_first(facts.plantings):
        key: Key = ("planting", planting.key)
        if planting.perennial:
            _release_perennial(graph, facts, planting, lots)
        else:
            _release(graph, facts, planting, key, planting.season, lots[key])


def _release_perennial(graph: Graph, facts: CostFacts, planting: PlantingFact, lots: dict[Key, list[LotFact]]) -> None:
    """Slice the establishing cost over the seasons begun, then release each season to its lots."""
    until = min(facts.on, planting.cleared - ONE_DAY) if planting.cleared else facts.on
    now = season_of(until, first_month=facts.calendar.season_first_month)
    seasons = list(range(planting.season, now + 1))
    establishing: Key = ("planting", planting.key)
    _hand_to_early_lots(graph, establishing, lots[establishing])
    _slice(graph, facts, planting, seasons)
    _rest_of_establishing(graph, facts, planting, establishing)
    for season in seasons:
        key = season_key(planting.key, season)
        _release(graph, facts, planting, key, season, lots[key])
    coming = season_key(planting.key, now + 1)
    if coming in graph.nodes:
        graph.rest(coming, "plants", graph.node(coming).carried)


def mothers_first(plantings: Sequence[PlantingFact]) -> list[PlantingFact]:
    """The plantings so that one that was divided comes before its daughters."""
    if not any(one.divisions for one in plantings):
        return list(plantings)
    known = {one.key: one for one in plantings}
    order: TopologicalSorter[int] = TopologicalSorter({key: () for key in known})
    for one in plantings:
        for division in one.divisions:
            order.add(division.daughter, one.key)
    return [known[key] for key in order.static_order() if key in known]


def _slice(graph: Graph, facts: CostFacts, planting: PlantingFact, seasons: Sequence[int]) -> None:
    """Give every season begun its part of what is left, over the seasons then expected; daughters take theirs."""
    key: Key = ("planting", planting.key)
    left = graph.node(key).unplaced
    for season in (planting.season - 1, *seasons):
        if season >= planting.season:
            to_come = max(1, life_of(planting, season, facts.calendar) - (season - planting.season))
            part = parted(left, [1] * to_come)[0]
            graph.flow(key, season_key(planting.key, season), part, 1, to_come, "seasons")
            left = less(left, part)
        for one in planting.divisions:
            if _season_of_division(one, planting, seasons, facts.calendar) != season:
                continue
            part = part_of(left, one.parts, one.of_parts)
            graph.flow(key, ("planting", one.daughter), part, one.parts, one.of_parts, "plants")
            left = less(left, part)


def life_of(planting: PlantingFact, season: int, calendar: Calendar) -> int:
    """The productive seasons expected of a perennial as estimated by the end of one season."""
    _, ends = season_bounds(season, first_month=calendar.season_first_month)
    return next((life for on, life in reversed(planting.lives) if on <= ends), planting.productive_seasons)


def _season_of_division(division: Division, planting: PlantingFact, seasons: Sequence[int], calendar: Calendar) -> int:
    """The last season begun when plants were taken; the one before its first where none had.

    On the day of planting itself no season has taken its part yet, as for what was spent that day.
    """
    if division.on <= planting.on:
        return planting.season - 1
    season = season_of(division.on, first_month=calendar.season_first_month)
    return min(max(season, planting.season - 1), seasons[-1] if seasons else planting.season - 1)


def _hand_to_early_lots(graph: Graph, key: Key, lots: Sequence[LotFact]) -> None:
    """Stems cut before the first productive season carry nothing."""
    for lot in lots:
        graph.flow(key, ("lot", lot.key), {}, lot.stems, sum(one.stems for one in lots), "stems")


def _rest_of_establishing(graph: Graph, facts: CostFacts, planting: PlantingFact, key: Key) -> None:
    left = graph.node(key).unplaced
    if planting.cleared and planting.cleared <= facts.on:
        graph.rest(key, "written off", left, on=planting.cleared, event=("clearing", planting.key))
    else:
        graph.rest(key, "plants", left)


def _release(
    graph: Graph, facts: CostFacts, planting: PlantingFact, key: Key, season: int, lots: Sequence[LotFact]
) -> None:
    node = graph.node(key)
    stems = node.quantity = sum(lot.stems for lot in lots)
    ended = _ended(facts, planting, season)
    node.final = node.final and ended is not None
    spent = node.carried
    if ended is not None:
        released, whole = spent if stems else {}, stems
    else:
        released, whole = _provisional(graph, key, planting.expected.get(season), stems, spent)
    weights = [lot.stems for lot in lots]
    for lot, part in zip(lots, parted(released, weights), strict=True):
        graph.flow(key, ("lot", lot.key), part, lot.stems, whole, "stems")
    left = less(spent, released)
    if ended is not None:
        graph.rest(key, "cost of the year", left, on=ended, event=("season", season))
    else:
        graph.rest(key, "growing", left, max(0, whole - stems))


def _provisional(
    graph: Graph, key: Key, expected: tuple[int, int | None] | None, stems: int, spent: dict[Element, int]
) -> tuple[dict[Element, int], int]:
    """What the stems cut so far carry while more are to come; nothing where no number is expected."""
    if expected is None:
        graph.node(key).known = False
        return {}, stems
    in_all, planned = expected[0], (expected[1] or 0) * MILLION
    cost = total(spent)
    released = provisional_release(cost, planned=planned, stems=stems, expected=in_all)
    return (part_of(spent, released, cost) if cost else {}), max(stems, in_all)


def _ended(facts: CostFacts, planting: PlantingFact, season: int) -> date | None:
    """The day after which a season of a planting gives no more, None while it may."""
    _, last = season_bounds(season, first_month=facts.calendar.season_first_month)
    if planting.cleared and planting.cleared <= facts.on:
        last = min(last, planting.cleared)
    return last if last <= facts.on else None
