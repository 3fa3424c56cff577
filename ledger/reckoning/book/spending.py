"""What was spent, laid on the node it was spent on."""

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from datetime import date, timedelta

from ledger.reckoning.sharing import share_out
from ledger.reckoning.years import overlap_days, season_bounds, season_of, year_bounds, year_of

from .amounts import STAGE_OF
from .facts import Calendar, CostFacts, Element, Key, PlantingFact, Spending
from .graph import Entry, Graph

ONE_DAY = timedelta(days=1)
SEASONS_APART = 10_000
SOLD_BY = frozenset({"stall_day", "order", "sale", "job", "workshop"})


def season_key(planting: int, season: int) -> Key:
    """The node of one season of a perennial planting."""
    return ("season", planting * SEASONS_APART + season)


def cutting_season(planting: PlantingFact, on: date, calendar: Calendar) -> Key:
    """The node that bears what is cut from a planting, or spent on it, that day."""
    if not planting.perennial:
        return ("planting", planting.key)
    until = min(on, planting.cleared - ONE_DAY) if planting.cleared else on
    season = season_of(until, first_month=calendar.season_first_month)
    return ("planting", planting.key) if season < planting.season else season_key(planting.key, season)


def bearing_season(planting: PlantingFact, on: date, calendar: Calendar, over: Mapping[Key, date]) -> Key:
    """The node that bears what was spent on a planting that day: once a season's cutting is over, the next one's.

    What was spent up to the day a perennial was planted established it, whichever season that was.
    """
    if on <= planting.on:
        return ("planting", planting.key)
    key = cutting_season(planting, on, calendar)
    if on <= over.get(key, date.max):
        return key
    return season_key(planting.key, key[1] % SEASONS_APART + 1)


def cutting_over(facts: CostFacts) -> dict[Key, date]:
    """The last day of cutting of every season of a perennial that has one after it.

    A season's cutting is over when the plants were cut over, else when the season is; a stem cut after
    all moves it on.
    """
    plantings = {one.key: one for one in facts.plantings if one.perennial}
    last = {key: day for one in plantings.values() for key, day in _cut_over(one, facts)}
    for lot in facts.lots:
        planting = plantings.get(lot.planting)
        key = cutting_season(planting, lot.on, facts.calendar) if planting else ("planting", lot.planting)
        if planting and key[0] == "season" and (key in last or _goes_on_after(planting, key[1] % SEASONS_APART, facts)):
            last[key] = max(lot.on, last.get(key, lot.on))
    return last


def _cut_over(planting: PlantingFact, facts: CostFacts) -> Iterator[tuple[Key, date]]:
    """The season and the day of every cutting over, unless the planting was cleared before the next season."""
    for on in planting.cut_over:
        key = cutting_season(planting, on, facts.calendar)
        _, ends = season_bounds(key[1] % SEASONS_APART, first_month=facts.calendar.season_first_month)
        if key[0] == "season" and not (planting.cleared and planting.cleared <= ends + ONE_DAY):
            yield key, on


def _goes_on_after(planting: PlantingFact, season: int, facts: CostFacts) -> bool:
    """Whether a season is over and the planting stood into the next."""
    _, ends = season_bounds(season, first_month=facts.calendar.season_first_month)
    return ends <= facts.on and not (planting.cleared and planting.cleared <= ends + ONE_DAY)


def lay_spending(graph: Graph, facts: CostFacts) -> None:
    """Put every entry on the node it was spent on; spaces take theirs by year elsewhere, materials when used."""
    plantings, over = {planting.key: planting for planting in facts.plantings}, cutting_over(facts)
    for one in facts.spending:
        kind = facts.kinds_of[one.spent_on]
        key: Key = (kind, one.spent_on)
        if kind == "planting" and one.spent_on in plantings:
            key = bearing_season(plantings[one.spent_on], one.on, facts.calendar, over)
        graph.node(key).direct.append(Entry(one.entry, one.on, {(STAGE_OF[kind], one.kind): one.amount}))


def rest_of_year(graph: Graph, facts: CostFacts) -> None:
    """Bring to rest what never reaches a stem: selling, overheads, the store, pay not booked."""
    for node in graph.nodes.values():
        if node.key[0] in SOLD_BY:
            for entry in node.direct:
                graph.rest(node.key, "cost of sales", entry.amounts, on=entry.on, event=entry.source)
    for one in facts.spending:
        if facts.kinds_of[one.spent_on] in {"holding", "store"}:
            _rest_overhead(graph, facts, one)
    _rest_not_begun(graph, facts)
    if facts.unbooked:
        key: Key = ("pay", 0)
        amounts: dict[Element, int] = {("overheads", "labour"): facts.unbooked}
        graph.node(key).direct.append(Entry(key, facts.on, amounts))
        graph.rest(key, "paid, not booked", amounts)


def _rest_overhead(graph: Graph, facts: CostFacts, one: Spending) -> None:
    """An overhead is a cost of the years its bill covers; what is for years to come waits."""
    kind = facts.kinds_of[one.spent_on]
    for year, amount in by_year(one, facts.calendar).items():
        starts, ends = year_bounds(year, **_ends(facts.calendar))
        amounts, begun = {(STAGE_OF[kind], one.kind): amount}, starts <= facts.on
        if amount and begun:
            on = min(max(one.on, starts), ends)
            graph.rest((kind, one.spent_on), "cost of the year", amounts, on=on, event=one.entry)
        elif amount:
            graph.rest((kind, one.spent_on), "charged ahead or behind", amounts, event=("year", year))


def _rest_not_begun(graph: Graph, facts: CostFacts) -> None:
    """What was spent on something before its own first day waits as growing."""
    begun = {
        *(("planting", one.key) for one in facts.plantings),
        *(("lot", one.key) for one in facts.lots),
        *(("hanging", one.key) for one in facts.hangings),
        *(("run", one.key) for one in facts.runs),
    }
    for node in graph.nodes.values():
        if node.key[0] in {"planting", "lot", "hanging", "run"} and node.key not in begun:
            graph.rest(node.key, "growing", node.carried)


def by_year(one: Spending, calendar: Calendar) -> Mapping[int, int]:
    """Return what of one entry falls into each books' year, by days covered."""
    ends = _ends(calendar)
    first, last = one.covers or (one.on, one.on)
    years = range(year_of(first, **ends), year_of(last, **ends) + 1)
    days = [_days_in(first, last, *year_bounds(year, **ends)) for year in years]
    return dict(zip(years, share_out(one.amount, days), strict=True))


def _ends(calendar: Calendar) -> dict[str, int]:
    return {"end_month": calendar.year_end_month, "end_day": calendar.year_end_day}


def _days_in(first: date, last: date, starts: date, ends: date) -> int:
    return overlap_days(first, last + ONE_DAY, starts, ends + ONE_DAY)


def bills_of(space: int, spending: Sequence[Spending], calendar: Calendar) -> dict[int, dict[str, int]]:
    """Return what was spent on a space: year -> kind -> amount."""
    years: dict[int, dict[str, int]] = defaultdict(lambda: defaultdict(int))
    for one in spending:
        if one.spent_on == space:
            for year, amount in by_year(one, calendar).items():
                years[year][one.kind] += amount
    return {year: dict(kinds) for year, kinds in years.items()}
