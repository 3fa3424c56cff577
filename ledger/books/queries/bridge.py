"""From the bed-earnings page to the year: its income to all that was sold, its cost to all that was spent.

Everything is worked out from three tracings, of the day before the year began,
of its last day and of the page's own day, and from the places of the proof. The
year's own totals are added up apart from them, from the lines of sales, dispatches and credits and from the daybook;
what is left between the two is a row of its own and must be nil.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from ledger.costing.queries import book
from ledger.costing.queries.spending import rate_on
from ledger.daybook.models import WorkEntry, WorkerRate
from ledger.facts.queries import holding
from ledger.growing.models import Planting
from ledger.reckoning.book import Key, total
from ledger.reckoning.sharing import MILLION
from ledger.reckoning.taking import proportion
from ledger.reckoning.years import season_bounds, year_bounds, year_of
from ledger.sales.queries.income import income

from .earning import Earned
from .net_sales import net_sales
from .places import Place, places_on
from .proof import entered_by
from .traced import Traced
from .tracing import Tracing

ONE_DAY = timedelta(days=1)
SELLING = frozenset({"stall_day", "order", "sale", "job", "workshop"})
OTHERS, PLANTS, BOUGHT = "other plantings", "in the plants", "bought in"
IDLE, CHARGED, MATERIALS, OVERHEADS, NOT_BOOKED, NOTHING_SOLD, UNTRACED, NOT_BEGUN = (
    "idle space", "charged ahead or behind", "materials", "overheads", "paid, not booked", "sold nothing", "untraced selling",
    "not begun",
)


@dataclass(frozen=True)
class Step:
    """One row of a bridge, in millionths."""

    what: str
    amount: int


@dataclass(frozen=True)
class Bridge:
    """From `start` over the `steps` to `end`, which was added up apart; `unexplained` must be nil."""

    start: int
    steps: Sequence[Step]
    end: int

    @property
    def unexplained(self) -> int:
        """What no step explains."""
        return self.end - self.start - sum(step.amount for step in self.steps)


@dataclass(frozen=True)
class YearBridge:
    """The bridges of income and of cost, and where all that was spent in the year came to rest (full cost).

    `running`: the year is not over; `last` is then the page's day.
    """

    first: date
    last: date
    running: bool
    income: Bridge
    cost: Bridge
    places: Bridge


@dataclass(frozen=True)
class State:
    """All that was traced up to a day: by whose it is, and what no planting bears."""

    wanted: Traced
    others: Mapping[str, Traced]
    untraced_income: int
    apart: Mapping[str, int]


def bridge(rows: Sequence[Earned], tracing: Tracing, first: int, last: int) -> YearBridge:
    """Bridge the page's rows, seasons `first` to `last`, to the books' years those lie in, up to the page's day."""
    on = tracing.made.facts.on
    begins, over = year_around(first)[0], year_around(last)[1]
    until = max(min(over, on), begins - ONE_DAY)
    wanted = {row.source for row in rows}
    page, before = _state_of(tracing, wanted), _state(begins - ONE_DAY, wanted)
    after = page if until == on else _state(until, wanted)
    return YearBridge(
        begins, until, running=over > on, income=_income(page.wanted, before, after, begins, until),
        cost=_cost(page.wanted, before, after, begins, until), places=_places(begins, until),
    )


def year_around(season: int) -> tuple[date, date]:
    """The first and the last day of the books' year in which the middle of a season lies."""
    kept = holding()
    starts, over = season_bounds(season, first_month=kept.season_first_month)
    ends = {"end_month": kept.year_end_month, "end_day": kept.year_end_day}
    return year_bounds(year_of(starts + (over - starts) // 2, **ends), **ends)


def _state(on: date, wanted: set[Key]) -> State:
    return _state_of(Tracing(book(on), on), wanted)


def _state_of(tracing: Tracing, wanted: set[Key]) -> State:
    perennial = set(Planting.objects.filter(perennial=True).values_list("pk", flat=True))
    named: dict[str, list[Traced]] = defaultdict(list)
    for source, traced in tracing.by_source.items():
        named[_whose(source, wanted, perennial)].append(traced)
    gathered = {name: _gathered(several) for name, several in named.items()}
    return State(gathered.pop("", Traced()), gathered, tracing.untraced.income, _apart(tracing))


def _whose(source: Key, wanted: set[Key], perennial: set[int]) -> str:
    if source in wanted:
        return ""
    if source[0] == "bought":
        return BOUGHT
    return PLANTS if source[0] == "planting" and source[1] in perennial else OTHERS


def _gathered(several: Sequence[Traced]) -> Traced:
    whole = Traced()
    for one in several:
        whole.bear(one.costs)
        for kind, amount in one.taken_off.items():
            whole.taken_off[kind] += amount
        for kind, amount in one.income_of.items():
            whole.income_of[kind] += amount
    return whole


def _apart(tracing: Tracing) -> dict[str, int]:
    """What rests with nothing that was grown or bought in: rooms, materials, overheads, pay, days that sold nothing."""
    found: dict[str, int] = defaultdict(int)
    sold = {line.spent_on for line in income(None, tracing.made.facts.on)}
    for key, node in tracing.made.graph.nodes.items():
        if not tracing.sources(key) and not (key[0] in SELLING and key[1] in sold):
            for at in node.standings:
                found[_named(key, at.place)] += total(at.amounts)
    found[UNTRACED] = total(tracing.untraced.costs)
    return dict(found)


def _named(key: Key, place: str) -> str:
    if key[0] in SELLING:
        return NOTHING_SOLD
    if place in {"charged ahead or behind", "materials", "paid, not booked"}:
        return place
    return {"plot": IDLE, "place": IDLE, "material": OVERHEADS, "holding": OVERHEADS, "store": OVERHEADS}.get(key[0], NOT_BEGUN)


def _income(page: Traced, before: State, after: State, first: date, last: date) -> Bridge:
    """From the page's income to the net sales of the year."""
    credited = sum(line.net for line in income(None, last) if line.on < first) - sum(
        line.net for line in income(None, first - ONE_DAY)
    )
    taken_off = page.all_taken_off
    return Bridge(page.income - taken_off, [
        Step("made-up goods' own cost", taken_off),
        Step("sold before the year", -before.wanted.income),
        Step("sold after the year", after.wanted.income - page.income),
        *_changes("sold of", before, after, "income"),
        Step("untraced sales", after.untraced_income - before.untraced_income),
        Step("credited on earlier years", -credited * MILLION),
    ], net_sales(first, last) * MILLION)


def _cost(page: Traced, before: State, after: State, first: date, last: date) -> Bridge:
    """From the page's cost to all that was spent in the year, unpaid hours included."""
    taken_off, whole = page.all_taken_off, total(page.costs)
    apart = [
        Step(name, after.apart.get(name, 0) - before.apart.get(name, 0))
        for name in (IDLE, CHARGED, MATERIALS, OVERHEADS, NOT_BOOKED, NOTHING_SOLD, UNTRACED, NOT_BEGUN)
    ]
    return Bridge(whole - taken_off, [
        Step("made-up goods' own cost", taken_off),
        Step("spent before the year", -total(before.wanted.costs)),
        Step("spent after the year", total(after.wanted.costs) - whole),
        *_changes("spent on", before, after, "costs"),
        *apart,
    ], _spent_by(last) - _spent_by(first - ONE_DAY))


def _changes(words: str, before: State, after: State, what: str) -> list[Step]:
    """What the year added to other seasons' plantings, to what is in the plants for later and to what was bought in."""
    def of(state: State, name: str) -> int:
        traced = state.others.get(name, Traced())
        return traced.income if what == "income" else total(traced.costs)

    return [Step(f"{words} {name}", of(after, name) - of(before, name)) for name in (OTHERS, PLANTS, BOUGHT)]


def _spent_by(on: date) -> int:
    """All that was entered up to a day, in millionths: pay, purchases and unpaid hours, added up from the daybook."""
    rates: dict[int, list[tuple[date, int]]] = defaultdict(list)
    for worker, day, per_hour in WorkerRate.objects.as_of(on).order_by("on", "pk").values_list("worker", "on", "per_hour"):
        rates[worker].append((day, per_hour))
    unpaid = WorkEntry.objects.standing_on(on).filter(worker__paid=False).values_list("worker", "on", "minutes")
    return entered_by(on) + sum(
        proportion(minutes * rate_on(rates[worker], day), MILLION, 60) for worker, day, minutes in unpaid
    )


def _places(first: date, last: date) -> Bridge:
    """What the year added to each place of the proof; all of it is all that was spent."""
    before, after = places_on(first - ONE_DAY), places_on(last)
    steps = [
        Step(name, after.get(name, Place()).full - before.get(name, Place()).full) for name in sorted({*before, *after})
    ]
    return Bridge(0, steps, _spent_by(last) - _spent_by(first - ONE_DAY))
