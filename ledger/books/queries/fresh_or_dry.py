"""Whether a stem brought more sold fresh or dried, after loss, work and waiting, by the week it was cut in."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, fields
from datetime import date, timedelta

from ledger.costing.queries import book
from ledger.growing.models import Planting, Variety
from ledger.reckoning.book import Book, LotFact
from ledger.reckoning.sharing import MILLION, to_minor
from ledger.reckoning.taking import proportion
from ledger.reckoning.years import season_of
from ledger.sales.queries.income import IncomeLine

from .earning import latest_season
from .parted import PartedTracing, follow_stems, stems_of
from .ranking import least_stems_on
from .sold import events_of, returns_of, sold_lines
from .unsold import fetched_by_source

HUNDRED = 100


@dataclass(frozen=True)
class Side:
    """Stems gone one way: sold, or lost, drawn or written off beside those sold; all in millionths, of a minor unit or a stem.

    `later` is what drying, its room and bunching cost, `selling` what was spent on selling, with fees on takings;
    `sold` stems, lost ones beside them counted in, and their `days` from cutting to sale, times stems. `unsold` stems still in
    stock and what those boxed at a price `fetch` after selling.
    """

    stems: int = 0
    net: int = 0
    later: int = 0
    selling: int = 0
    sold: int = 0
    days: int = 0
    unsold: int = 0
    fetch: int = 0

    def __add__(self, other: Side) -> Side:
        return Side(*(getattr(self, one.name) + getattr(other, one.name) for one in fields(self)))

    @property
    def number(self) -> int:
        """Whole stems it rests on."""
        return to_minor(self.stems)

    @property
    def number_unsold(self) -> int:
        """Whole stems unsold."""
        return to_minor(self.unsold)

    @property
    def brought(self) -> int:
        """Net income less what it cost from the parting on."""
        return self.net - self.later - self.selling

    @property
    def a_hundred(self) -> int | None:
        """What a hundred stems brought, whole minor units; None where none is gone this way."""
        return proportion(self.brought, HUNDRED, self.stems) if self.stems > 0 else None

    @property
    def waited(self) -> int | None:
        """Days from cutting to sale, on average over the stems sold; None where none is sold."""
        return proportion(self.days, 1, self.sold) if self.sold > 0 else None


@dataclass(frozen=True)
class Compared:
    """Fresh beside dried, of one variety in one week of cutting, or in the season (`week` None)."""

    variety: Variety
    week: date | None
    fresh: Side
    dried: Side
    least: int | None

    @property
    def why_not(self) -> str:
        """Why the two cannot be compared; empty where they can."""
        if not self.fresh.sold or not self.dried.sold:
            return "only_dried" if self.dried.sold else "only_fresh" if self.fresh.sold else "nothing_sold"
        if not self.dried.later:
            return "no_cost"
        few = [name for name, side in (("few_fresh", self.fresh), ("few_dried", self.dried)) if side.number < (self.least or 1)]
        return few[0] if few else ""

    @property
    def more_dried(self) -> int:
        """How much more (below zero: less) a hundred stems brought dried, whole minor units."""
        return (self.dried.a_hundred or 0) - (self.fresh.a_hundred or 0)


@dataclass(frozen=True)
class OfVariety:
    """A variety's season and its weeks."""

    season: Compared
    weeks: Sequence[Compared]


Cut = tuple[int, date]


def fresh_or_dry(season: int | None, on: date, variety: int | None = None) -> tuple[int, list[OfVariety]]:
    """The season (None: the latest with stems), and its varieties as known on a day: those that can be compared first."""
    made = book(on)
    wanted, month = season if season is not None else latest_season(made), made.facts.calendar.season_first_month
    variety_of = dict(Planting.objects.values_list("pk", "variety_id"))
    lots = {lot.key: lot for lot in made.facts.lots if season_of(lot.on, first_month=month) == wanted}
    lots = {key: lot for key, lot in lots.items() if variety is None or variety_of[lot.planting] == variety}
    fresh, dried = Sides(made, on, lots).both()
    weeks: dict[Cut, tuple[Side, Side]] = defaultdict(lambda: (Side(), Side()))
    for key, lot in lots.items():
        cut = (variety_of[lot.planting], monday(lot.on))
        before = weeks[cut]
        weeks[cut] = (before[0] + fresh[key], before[1] + dried[key])
    return wanted, _by_variety(weeks, least_stems_on(on))


def monday(day: date) -> date:
    """The first day of its week."""
    return day - timedelta(days=day.weekday())


def _by_variety(weeks: Mapping[Cut, tuple[Side, Side]], least: int | None) -> list[OfVariety]:
    names = Variety.objects.select_related("species").in_bulk({variety for variety, _ in weeks})
    found: dict[int, list[Compared]] = defaultdict(list)
    for (variety, week), (fresh, dried) in sorted(weeks.items()):
        if fresh.stems or dried.stems or dried.unsold:
            found[variety].append(Compared(names[variety], week, fresh, dried, least))
    rows = [OfVariety(_together(of_weeks, least), of_weeks) for of_weeks in found.values()]
    return sorted(rows, key=lambda row: (bool(row.season.why_not), str(row.season.variety)))


def _together(weeks: Sequence[Compared], least: int | None) -> Compared:
    fresh = sum((week.fresh for week in weeks), Side())
    return Compared(weeks[0].variety, None, fresh, sum((week.dried for week in weeks), Side()), least)


class Sides:
    """What became of the stems of some lots, as of a day."""

    def __init__(self, made: Book, on: date, lots: Mapping[int, LotFact]) -> None:
        self.made, self.on, self.lots = made, on, lots
        self.tracing, self.followed = PartedTracing(made, on), follow_stems(made)
        self.partings, self.returns = {one.key: one for one in made.facts.partings}, returns_of(made)
        self.found: dict[bool, dict[int, Side]] = {True: defaultdict(Side), False: defaultdict(Side)}

    def both(self) -> tuple[Mapping[int, Side], Mapping[int, Side]]:
        """The fresh and the dried side of each lot."""
        for line in sold_lines(self.on):
            self._take("net", self.tracing.parts(line.of, line.net))
            self._take("selling", self.tracing.parts(line.of, line.selling + line.fees))
            self._wait(line.of)
        self._take("later", self.tracing.costs_gone().items())
        fetched = fetched_by_source(self.made, self.tracing, self.on)
        self._take("fetch", ((source, fetches) for source, (fetches, _cost) in fetched.items()))
        gone, here = stems_of(self.followed)
        for lot in self.lots:
            self._add(False, lot, stems=gone.get(lot, 0), unsold=here.get(lot, 0))
        return self.found[True], self.found[False]

    def _take(self, what: str, parts: Iterable[tuple[tuple[str, int], int]]) -> None:
        """Add parts of what left lots; what was made up fresh is neither sold fresh nor dried."""
        for source, part in parts:
            way = self.partings[source[1]].way if source[0] == "parting" else "cut_dry" if source[0] == "lot" else "made_up"
            if way != "made_up":
                self._add(way == "sold_fresh", self.tracing.lot_of(source), **{what: part})

    def _wait(self, line: IncomeLine) -> None:
        """Add the stems a line sold that did not come back, and the days they waited."""
        for parting in line.partings:
            lot, stems = self.partings[parting].lot, self.partings[parting].stems * MILLION
            self._sell(True, lot, line.on, stems)
            self._add(True, lot, stems=stems)
        for event in (event for movement, _ in line.movements for event in events_of(movement, self.returns)):
            for (_stage, lot_key), stems in self.followed.by_event.get(event, {}).items():
                self._sell(False, int(lot_key), line.on, stems)

    def _sell(self, fresh: bool, lot: int, on: date, stems: int) -> None:
        if lot in self.lots:
            self._add(fresh, lot, sold=stems, days=stems * (on - self.lots[lot].on).days)

    def _add(self, fresh: bool, lot: int, **amounts: int) -> None:
        if lot in self.lots:
            self.found[fresh][lot] += Side(**amounts)
