"""Own spending: which node or place of rest bears what was spent on a thing on a day."""

from collections.abc import Iterable
from datetime import date, timedelta

from ledger.reckoning.book import CostFacts, PlantingFact, season_key
from ledger.reckoning.years import overlap_days, season_bounds, season_of, year_bounds, year_of

from .store import Bit
from .system import Node, System

ONE_DAY = timedelta(days=1)
SELLING = {"stall_day", "order", "sale", "job", "workshop"}
STAGES = {
    "planting": "growing", "plot": "bed_space", "lot": "cutting", "hanging": "drying", "place": "drying_space",
    "run": "bunching", "material": "materials", "store": "storage", "holding": "overheads",
} | dict.fromkeys(SELLING, "selling")


class Seasons:
    """Which season of a perennial bears a day's cut, and a day's work."""

    def __init__(self, facts: CostFacts) -> None:
        self.facts, self.first_month = facts, facts.calendar.season_first_month
        self.plantings = {one.key: one for one in facts.plantings}
        self.over: dict[tuple[int, int], date] = {}
        for one in facts.plantings:
            if one.perennial:
                self._find_over(one)

    def season(self, on: date) -> int:
        return season_of(on, first_month=self.first_month)

    def last_day(self, season: int) -> date:
        return season_bounds(season, first_month=self.first_month)[1]

    def of_cut(self, planting: PlantingFact, on: date) -> int | None:
        """The season of a perennial that bears a day's cut; None: the planting itself."""
        if not planting.perennial:
            return None
        standing = on if planting.cleared is None else min(on, planting.cleared - ONE_DAY)
        return self.season(standing) if self.season(standing) >= planting.season else None

    def of_work(self, planting: PlantingFact, on: date) -> int | None:
        """As `of_cut`, but the next season once cutting is over; None up to the day it was planted."""
        season = None if on <= planting.on else self.of_cut(planting, on)
        if season is not None and on > self.over.get((planting.key, season), date.max):
            return season + 1
        return season

    def node(self, planting: PlantingFact, season: int | None) -> Node:
        return ("planting", planting.key) if season is None else season_key(planting.key, season)

    def _find_over(self, planting: PlantingFact) -> None:
        """Cutting of a season is over on its last day of cutting, once it is said or the season is."""
        cuts: dict[int | None, list[date]] = {}
        for lot in self.facts.lots:
            if lot.planting == planting.key:
                cuts.setdefault(self.of_cut(planting, lot.on), []).append(lot.on)
        said = {self.of_cut(planting, on): on for on in planting.cut_over}
        for season in {*cuts, *said} - {None}:
            last = self.last_day(season)
            goes_on = planting.cleared is None or planting.cleared > last + ONE_DAY
            if goes_on and (season in said or last <= self.facts.on):
                days = [*cuts.get(season, ()), *([said[season]] if season in said else ())]
                self.over[planting.key, season] = max(days)


def lay_spending(system: System, facts: CostFacts, spending: Iterable) -> None:
    """Put everything spent on its node; what never reaches a stem on its place of rest."""
    seasons, begun = Seasons(facts), _begun(facts)
    for one in spending:
        kind, partings = facts.kinds_of[one.spent_on], one.partings if isinstance(one, Bit) else 0
        element = (STAGES[kind], one.kind)
        if kind in {"plot", "place"}:
            for year, part in by_year(one, facts):
                system.spend((f"{kind} {year}", one.spent_on), element, one.amount * part, partings + 1)
            continue
        node: Node = (kind, one.spent_on)
        if one.spent_on in seasons.plantings:
            planting = seasons.plantings[one.spent_on]
            node = seasons.node(planting, seasons.of_work(planting, one.on))
        system.spend(node, element, one.amount, partings)
        if kind in SELLING:
            system.spend(("rest", "cost of sales"), element, one.amount, partings)
        elif kind in {"holding", "store"}:
            _rest_by_year(system, facts, one, element, partings)
        elif kind != "material" and node[0] != "season" and node not in begun:
            system.spend(("rest", "growing"), element, one.amount, partings)
    if facts.unbooked:
        for node in (("pay", 0), ("rest", "paid, not booked")):
            system.spend(node, ("overheads", "labour"), facts.unbooked)


def _begun(facts: CostFacts) -> set[Node]:
    """What has a first day of its own by now; other such things only wait."""
    rows = {"planting": facts.plantings, "lot": facts.lots, "hanging": facts.hangings, "run": facts.runs}
    return {(kind, one.key) for kind, records in rows.items() for one in records}


def _rest_by_year(system: System, facts: CostFacts, one: object, element: tuple[str, str], partings: int) -> None:
    for year, part in by_year(one, facts):
        begun = year_bounds(year, **ends_of(facts))[0] <= facts.on
        place = "cost of the year" if begun else "charged ahead or behind"
        system.spend(("rest", place), element, one.amount * part, partings + 1)


def by_year(one: object, facts: CostFacts) -> list[tuple[int, float]]:
    """The books' years a bill is for, and the part of its days in each."""
    first, last = one.covers or (one.on, one.on)
    years = range(year_of(first, **ends_of(facts)), year_of(last, **ends_of(facts)) + 1)
    days = (last - first).days + 1
    return [(year, days_within(first, last + ONE_DAY, year, facts) / days) for year in years]


def days_within(first: date, end: date, year: int, facts: CostFacts) -> int:
    """Days of a stretch, up to and not including its end, in a books' year."""
    starts, ends = year_bounds(year, **ends_of(facts))
    return overlap_days(first, end, starts, ends + ONE_DAY)


def ends_of(facts: CostFacts) -> dict[str, int]:
    return {"end_month": facts.calendar.year_end_month, "end_day": facts.calendar.year_end_day}
