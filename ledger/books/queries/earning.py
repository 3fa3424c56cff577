"""Bed earnings: what each planting brought in less what it cost, traced along the path."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta
from decimal import Decimal

from ledger.costing.queries import book
from ledger.daybook.models import WorkEntry, WorkShare
from ledger.growing.models import Planting
from ledger.reckoning.book import Amounts, Book, Key, PlantingFact, added, cutting_season, season_key, total
from ledger.reckoning.sharing import MILLION, share_amounts, share_out
from ledger.reckoning.taking import proportion
from ledger.reckoning.years import season_bounds, season_of
from ledger.sales.queries.income import IncomeLine, income

FIXED_STAGES = frozenset({"bed_space", "drying_space"})
IN_STOCK = ("boxed", "loose", "hanging", "in water")
ONE_DAY = timedelta(days=1)


@dataclass
class Traced:
    """What was traced to one planting's season so far: millionths, minutes, stems."""

    income: int = 0
    costs: dict[tuple[str, str], int] = field(default_factory=dict)
    minutes: int = 0
    unsold: int = 0
    stems: int = 0

    def bear(self, amounts: Amounts) -> None:
        self.costs = added(self.costs, amounts)


@dataclass(frozen=True)
class Earned:
    """One planting's season: money in millionths, area in m2, weeks in its bed.

    `cost` is all traced cost, selling included; `contribution` leaves bed and
    drying space out; `unsold` is what stands at cost beside it. `judged` is
    False where the figures cannot say yet.
    """

    planting: Planting
    source: Key
    season: int
    m2: Decimal
    weeks: Decimal
    minutes: int
    stems: int
    income: int
    cost: int
    contribution: int
    unsold: int
    final: bool
    judged: bool

    @property
    def earned(self) -> int:
        return self.income - self.cost

    @property
    def per_m2(self) -> int | None:
        return _per(self.earned, int(self.m2 * 100), 100)

    @property
    def per_m2_week(self) -> int | None:
        return _per(self.earned, int(self.m2 * 100 * self.weeks * 100), 10_000)

    @property
    def contribution_per_m2_week(self) -> int | None:
        return _per(self.contribution, int(self.m2 * 100 * self.weeks * 100), 10_000)

    @property
    def per_hour(self) -> int | None:
        return _per(self.earned, self.minutes, 60)


def _per(amount: int, number: int, scale: int) -> int | None:
    """amount / (number / scale); None where there is nothing to divide by."""
    return proportion(amount, scale, number) if number else None


def bed_earnings(season: int | None, on: date) -> list[Earned]:
    """Each planting of a season (None: the latest with stems) as of a day, best contribution per m2-week first."""
    made = book(on)
    tracing = Tracing(made, on)
    wanted = season if season is not None else latest_season(made)
    rows = [_row(made, tracing, one, wanted) for one in made.facts.plantings if _has_season(one, wanted, made)]
    plantings = Planting.objects.select_related("variety__species", "bed__plot").in_bulk([key for key, _ in rows])
    found = [_earned(plantings[key], wanted, *parts) for key, parts in rows]
    return sorted(found, key=_rank)


def latest_season(made: Book) -> int:
    """The latest season in which a stem was cut, else the season of the book's day."""
    month = made.facts.calendar.season_first_month
    days = [lot.on for lot in made.facts.lots]
    return season_of(max(days, default=made.facts.on), first_month=month)


def _has_season(planting: PlantingFact, season: int, made: Book) -> bool:
    if not planting.perennial:
        return planting.season == season
    starts, _ = season_bounds(season, first_month=made.facts.calendar.season_first_month)
    return planting.season <= season and not (planting.cleared and planting.cleared <= starts)


def _rank(row: Earned) -> tuple[bool, int, str]:
    return (not row.judged, -(row.contribution_per_m2_week or 0), str(row.planting))


Parts = tuple[Key, Traced, int, Decimal, bool, bool]


def _row(made: Book, tracing: Tracing, planting: PlantingFact, season: int) -> tuple[int, Parts]:
    key = source_key(planting, season)
    node = made.node(key)
    return planting.key, (key, tracing.of(key), planting.area, _weeks(made, planting, season), node.final, node.known)


def source_key(planting: PlantingFact, season: int) -> Key:
    """The node that stands for a planting's season."""
    return season_key(planting.key, season) if planting.perennial else ("planting", planting.key)


def _weeks(made: Book, planting: PlantingFact, season: int) -> Decimal:
    """Weeks in the bed: an annual's whole stay, a perennial's within the season."""
    first, end = planting.on, min(planting.cleared or made.facts.on + ONE_DAY, made.facts.on + ONE_DAY)
    if planting.perennial:
        starts, last = season_bounds(season, first_month=made.facts.calendar.season_first_month)
        first, end = max(first, starts), min(end, last + ONE_DAY)
    return (Decimal(max(0, (end - first).days)) / 7).quantize(Decimal("0.01"))


def _earned(
    planting: Planting, season: int, source: Key, traced: Traced, area: int, weeks: Decimal, final: bool, known: bool
) -> Earned:
    cost = total(traced.costs)
    fixed = sum(amount for (stage, _), amount in traced.costs.items() if stage in FIXED_STAGES)
    return Earned(
        planting=planting, source=source, season=season, m2=(Decimal(area) / 100).quantize(Decimal("0.01")), weeks=weeks, minutes=traced.minutes,
        stems=traced.stems, income=traced.income, cost=cost, contribution=traced.income - cost + fixed,
        unsold=traced.unsold, final=final, judged=known and (final or traced.stems > 0),
    )


class Tracing:
    """Everything of the path traced back to the planting's season it came from."""

    def __init__(self, made: Book, on: date) -> None:
        self.made = made
        self.by_source: dict[Key, Traced] = defaultdict(Traced)
        self._lot = {lot.key: self._source_of_lot(lot.key) for lot in made.facts.lots}
        lot_of_parting = {one.key: one.lot for one in made.facts.partings}
        self._parting = {key: self._lot[lot] for key, lot in lot_of_parting.items()}
        self._hanging = {one.key: self._parting[one.parting] for one in made.facts.hangings}
        self._run = {run.key: self._sources_of_run(run.inputs) for run in made.facts.runs}
        self._batch = {batch.key: self._run[run.key] for run in made.facts.runs for batch in run.batches}
        self._batch_of = {one.key: one.batch for one in made.facts.movements}
        self._trace_path()
        self._trace_income(income(None, on))

    def of(self, source: Key) -> Traced:
        return self.by_source[source]

    def _source_of_lot(self, lot: int) -> Key:
        inflows = [flow.source for flow in self.made.node(("lot", lot)).inflows]
        return next(source for source in inflows if source[0] in {"planting", "season"})

    def _sources_of_run(self, inputs: Iterable[tuple[int, int]]) -> dict[Key, int]:
        stems: dict[Key, int] = defaultdict(int)
        for hanging, number in inputs:
            stems[self._hanging[hanging]] += number
        return dict(stems)

    def sources(self, key: Key) -> Mapping[Key, int]:
        """The plantings' seasons a node of the path comes from, by stems."""
        kind, number = key
        if kind in {"planting", "season"}:
            return {key: 1}
        one = {"lot": self._lot, "hanging": self._hanging}.get(kind)
        if one is not None:
            return {one[number]: 1} if number in one else {}
        many = {"run": self._run, "batch": self._batch}.get(kind, {})
        return many.get(number, {})

    def _trace_path(self) -> None:
        minutes = minutes_by_node(self.made)
        for lot in self.made.facts.lots:
            self.by_source[self._lot[lot.key]].stems += lot.stems
        for key, node in list(self.made.graph.nodes.items()):
            sources = self.sources(key)
            if sources:
                self._bear(sources, self._own(key), minutes.get(key, 0))
                held = [at.amounts for at in node.standings if at.place in IN_STOCK]
                for source, part in self._parted(sources, added(*held)):
                    self.by_source[source].unsold += total(part)

    def _own(self, key: Key) -> dict[tuple[str, str], int]:
        """What was spent on a node itself, and the room it was charged."""
        node = self.made.node(key)
        came = [flow.amounts for flow in node.inflows if flow.source[0] in {"plot", "place"}]
        slices = [flow.amounts for flow in node.inflows if key[0] == "season" and flow.source[0] == "planting"]
        return added(node.own, *came, *slices)

    def _bear(self, sources: Mapping[Key, int], amounts: Amounts, minutes: int) -> None:
        for source, part in self._parted(sources, amounts):
            self.by_source[source].bear(part)
        for source, part in zip(sources, share_out(minutes, list(sources.values())), strict=True):
            self.by_source[source].minutes += part

    def _parted(self, sources: Mapping[Key, int], amounts: Amounts) -> Iterable[tuple[Key, Amounts]]:
        return zip(sources, share_amounts(amounts, list(sources.values())), strict=True)

    def _trace_income(self, lines: Sequence[IncomeLine]) -> None:
        """Net income to its sources, and what was spent on its stall day, order or sale by sales value."""
        by_spent_on: dict[int, list[IncomeLine]] = defaultdict(list)
        for line in lines:
            by_spent_on[line.spent_on].append(line)
            for source, part in self._line_parts(line, line.net * MILLION):
                self.by_source[source].income += part
        minutes = minutes_by_node(self.made)
        for spent_on, sold in by_spent_on.items():
            key = (self.made.facts.kinds_of[spent_on], spent_on)
            self._share_selling(key, sold, minutes.get(key, 0))

    def _share_selling(self, spent_on: Key, sold: Sequence[IncomeLine], minutes: int) -> None:
        amounts = self.made.node(spent_on).own
        weights = [max(line.net, 0) for line in sold]
        weights = weights if any(weights) else [1] * len(sold)
        shares = share_amounts(amounts, weights)
        for line, share, worked in zip(sold, shares, share_out(minutes, weights), strict=True):
            for element, amount in share.items():
                for source, part in self._line_parts(line, amount):
                    self.by_source[source].bear({element: part})
            for source, part in self._line_parts(line, worked):
                self.by_source[source].minutes += part

    def _line_parts(self, line: IncomeLine, amount: int) -> Iterable[tuple[Key, int]]:
        """An amount of one income line by source: the parting's lot, or its batches by stems."""
        if line.parting is not None:
            return [(self._parting[line.parting], amount)]
        parts: list[tuple[Key, int]] = []
        by_movement = share_out(amount, [bunches for _, bunches in line.movements]) if line.movements else []
        for (movement, _), part in zip(line.movements, by_movement, strict=True):
            sources = self._batch[self._batch_of[movement]]
            parts += zip(sources, share_out(part, list(sources.values())), strict=True)
        return parts


def minutes_by_node(made: Book) -> dict[Key, int]:
    """Minutes worked on each node, an entry's shared by its weights.

    A perennial's hours fall to the season of their day; those spent before its
    first season are shared over its productive seasons like its cost.
    """
    on, plantings = made.facts.on, {one.key: one for one in made.facts.plantings}
    found: dict[Key, int] = defaultdict(int)
    for spent_on, day, minutes in _worked(on):
        key: Key = (made.facts.kinds_of[spent_on], spent_on)
        if spent_on in plantings:
            key = cutting_season(plantings[spent_on], day, made.facts.calendar)
        found[key] += minutes
    for planting in plantings.values():
        if planting.perennial:
            _slice_hours(found, planting)
    return dict(found)


def _slice_hours(found: dict[Key, int], planting: PlantingFact) -> None:
    establishing = share_out(found.pop(("planting", planting.key), 0), [1] * planting.productive_seasons)
    for number, minutes in enumerate(establishing):
        found[season_key(planting.key, planting.season + number)] += minutes


def _worked(on: date) -> Iterable[tuple[int, date, int]]:
    """Every entry's minutes by what they were spent on and its day."""
    entries = {pk: (day, minutes) for pk, day, minutes in WorkEntry.objects.standing_on(on).values_list("pk", "on", "minutes")}
    shares: dict[int, list[tuple[int, int]]] = defaultdict(list)
    rows = WorkShare.objects.filter(entry__in=WorkEntry.objects.standing_on(on)).order_by("pk")
    for entry, spent_on, weight in rows.values_list("entry_id", "spent_on_id", "weight"):
        shares[entry].append((spent_on, weight))
    for entry, parts in shares.items():
        day, minutes = entries[entry]
        for (spent_on, _), part in zip(parts, share_out(minutes, [weight for _, weight in parts]), strict=True):
            yield spent_on, day, part
