"""Everything of the path traced back to the planting's season it came from."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta

from ledger.daybook.models import WorkEntry, WorkShare
from ledger.growing.models import Planting
from ledger.reckoning.book import (
    SEASONS_APART,
    Amounts,
    Book,
    Key,
    LotFact,
    PartingFact,
    PlantingFact,
    RunFact,
    added,
    bearing_season,
    cutting_over,
    in_making_order,
    less,
    mothers_first,
    season_key,
    total,
)
from ledger.reckoning.sharing import MILLION, share_amounts, share_out
from ledger.reckoning.years import season_of
from ledger.sales.queries.income import IncomeLine, income

ONE_DAY = timedelta(days=1)
IN_STOCK = ("boxed", "loose", "hanging", "in water")


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


class Tracing:
    """Everything of the path traced back to the planting's season it came from."""

    def __init__(self, made: Book, on: date) -> None:
        self.made = made
        self.by_source: dict[Key, Traced] = defaultdict(Traced)
        self._plantings = {one.key: one for one in made.facts.plantings}
        self._lot = {lot.key: self._source_of_lot(lot) for lot in made.facts.lots}
        self._parting = {one.key: self._source_of_parting(one) for one in made.facts.partings}
        self._hanging = {one.key: self._parting[one.parting] for one in made.facts.hangings}
        self._oddments = {one.key: self._hanging[one.hanging] for one in made.facts.oddments}
        self._run: dict[int, dict[Key, int]] = {}
        self._batch: dict[int, dict[Key, int]] = {}
        self._trace_runs()
        self._batch_of = {one.key: one.batch for one in made.facts.movements}
        self._trace_path()
        self._trace_income(income(None, on))

    def of(self, source: Key) -> Traced:
        return self.by_source[source]

    def _source_of_lot(self, lot: LotFact) -> Key:
        """The season it was cut in; stems a perennial gave before its first productive season have one of their own.

        What was cut on the day it was cleared is its last season's, as in the cost book.
        """
        planting = self._plantings[lot.planting]
        if not planting.perennial:
            return ("planting", planting.key)
        day = min(lot.on, planting.cleared - ONE_DAY) if planting.cleared else lot.on
        return season_key(planting.key, season_of(day, first_month=self.made.facts.calendar.season_first_month))

    def _source_of_parting(self, parting: PartingFact) -> Key:
        """The source of what left a lot: that of the lot."""
        return self._lot[parting.lot]

    def _planting_of(self, source: Key) -> int:
        """The planting a source came from."""
        return planting_of(source)

    def _trace_runs(self) -> None:
        """By stems; by what each part cost where bunches went in or kinds differ, since their stems do not compare.

        What was bought in is its own source, no planting's.
        """
        drawn = {one.run for one in self.made.facts.movements if one.run is not None}
        variety = dict(Planting.objects.values_list("pk", "variety_id"))
        for run in in_making_order(self.made.facts):
            sources = self._by_stems(run)
            if run.key in drawn or len({variety[self._planting_of(one)] for one in sources}) > 1:
                sources = self._by_cost(("run", run.key)) or sources
            self._run[run.key] = sources or {("bought", run.key): 1}
            self._batch |= {batch.key: self._run[run.key] for batch in run.batches}

    def _by_stems(self, run: RunFact) -> dict[Key, int]:
        found: dict[Key, int] = defaultdict(int)
        by_kind = {"hanging": self._hanging, "parting": self._parting, "oddments": self._oddments}
        for kind, number, stems in run.inputs:
            found[by_kind[kind][number]] += stems
        return dict(found)

    def _by_cost(self, key: Key) -> dict[Key, int]:
        """What each source's part of the stems and bunches used had cost, in millionths."""
        found: dict[Key, int] = defaultdict(int)
        for flow in self.made.node(key).inflows:
            sources = self.sources(flow.source)
            if sources:
                parts = share_out(total(flow.amounts), list(sources.values()))
                for source, part in zip(sources, parts, strict=True):
                    found[source] += part
        return {source: part for source, part in found.items() if part > 0}

    def sources(self, key: Key) -> Mapping[Key, int]:
        """The plantings' seasons a node of the path comes from, by stems or by cost."""
        kind, number = key
        if kind in {"planting", "season"}:
            return {key: 1}
        one = {"lot": self._lot, "hanging": self._hanging, "oddments": self._oddments}.get(kind)
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
        """What was spent on a node itself and the room it was charged.

        Slices of establishing cost go to their season, a divided part to its daughter.
        """
        node = self.made.node(key)
        came = [flow.amounts for flow in node.inflows if flow.source[0] in {"plot", "place", "planting"} and key[0] != "lot"]
        gone = [flow.amounts for flow in node.outflows if flow.target[0] in {"season", "planting"} and key[0] == "planting"]
        return less(added(node.own, *came), added(*gone))

    def _bear(self, sources: Mapping[Key, int], amounts: Amounts, minutes: int) -> None:
        for source, part in self._parted(sources, amounts):
            self.by_source[source].bear(part)
        for source, worked in zip(sources, share_out(minutes, list(sources.values())), strict=True):
            self.by_source[source].minutes += worked

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


def planting_of(source: Key) -> int:
    """The planting a source is, or a season of."""
    kind, number = source
    return number // SEASONS_APART if kind == "season" else number


def minutes_by_node(made: Book) -> dict[Key, int]:
    """Minutes worked on each node, an entry's shared by its weights.

    A perennial's hours fall to the season that bears their cost; those of establishing it
    go where its cost went.
    """
    on, plantings, over = made.facts.on, {one.key: one for one in made.facts.plantings}, cutting_over(made.facts)
    found: dict[Key, int] = defaultdict(int)
    for spent_on, day, minutes in _worked(on):
        key: Key = (made.facts.kinds_of[spent_on], spent_on)
        if spent_on in plantings:
            key = bearing_season(plantings[spent_on], day, made.facts.calendar, over)
        found[key] += minutes
    for planting in mothers_first(list(plantings.values())):
        if planting.perennial:
            _slice_hours(found, planting, made)
    return dict(found)


def _slice_hours(found: dict[Key, int], planting: PlantingFact, made: Book) -> None:
    """Share the hours of establishing as its cost went: to the seasons begun and daughters; the rest waits in the plants."""
    node = made.node(("planting", planting.key))
    went = [flow for flow in node.outflows if flow.target[0] in {"season", "planting"}]
    weights = [total(flow.amounts) for flow in went]
    waiting = total(node.carried) - sum(weights)
    if not sum(weights):
        return
    minutes = found.pop(node.key, 0)
    *shares, rest = share_out(minutes, [*weights, max(0, waiting)])
    for flow, share in zip(went, shares, strict=True):
        found[flow.target] += share
    if rest:
        found[node.key] += rest


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
