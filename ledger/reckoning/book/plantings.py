"""From plantings to lots: what the stems cut so far carry, and what is still growing."""

from collections import defaultdict
from collections.abc import Sequence
from datetime import date

from ledger.reckoning.sharing import MILLION, share_amounts
from ledger.reckoning.taking import provisional_release
from ledger.reckoning.years import season_bounds, season_of

from .amounts import less, part_of, parted, total
from .facts import CostFacts, Element, Key, LotFact, PlantingFact
from .graph import Graph
from .spending import ONE_DAY, cutting_season, season_key


def release_plantings(graph: Graph, facts: CostFacts) -> None:
    """Hand the cost of every planting on to the lots cut from it."""
    plantings = {one.key: one for one in facts.plantings}
    lots: dict[Key, list[LotFact]] = defaultdict(list)
    for lot in sorted(facts.lots, key=lambda one: (one.on, one.key)):
        lots[cutting_season(plantings[lot.planting], lot.on, facts.calendar)].append(lot)
    for planting in facts.plantings:
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
    slices = share_amounts(graph.node(establishing).carried, [1] * planting.productive_seasons)
    for season, part in zip(seasons, slices, strict=False):
        key = season_key(planting.key, season)
        graph.flow(establishing, key, part, 1, planting.productive_seasons, "seasons")
    _rest_of_establishing(graph, facts, planting, establishing)
    for season in seasons:
        key = season_key(planting.key, season)
        _release(graph, facts, planting, key, season, lots[key])
    coming = season_key(planting.key, now + 1)
    if coming in graph.nodes:
        graph.rest(coming, "plants", graph.node(coming).carried)


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
