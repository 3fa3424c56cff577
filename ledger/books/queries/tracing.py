"""Everything of the path traced back to the planting's season it came from."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from datetime import date, timedelta

from ledger.growing.models import Planting
from ledger.reckoning.book import (
    SEASONS_APART,
    Amounts,
    Book,
    Element,
    Key,
    LotFact,
    PartingFact,
    RunFact,
    added,
    in_making_order,
    less,
    season_key,
    total,
)
from ledger.reckoning.sharing import MILLION, share_amounts, share_out
from ledger.reckoning.years import season_of
from ledger.sales.queries.income import IncomeLine, income
from ledger.stock.models import Run

from .hours import minutes_by_node, shared_months
from .sold import kept_of, returns_of
from .traced import JOBS, KIND_OF, MADE_UP, Traced
from .work_shares import WorkShares

ONE_DAY = timedelta(days=1)
IN_STOCK = ("boxed", "loose", "hanging", "in water")


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
        self._minutes = minutes_by_node(made)
        self._made_up = self._own_of_made_up()
        self.of_work = WorkShares(made, self._parting, self._batch)
        self.untraced = Traced()
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
        for lot in self.made.facts.lots:
            self.by_source[self._lot[lot.key]].stems += lot.stems
        for key, node in list(self.made.graph.nodes.items()):
            sources = self.sources(key)
            if sources:
                self._bear(sources, self._own(key), self._minutes.get(key, {}))
                held = [at.amounts for at in node.standings if at.place in IN_STOCK]
                for source, part in self._parted(sources, added(*held)):
                    self.by_source[source].unsold += total(part)

    def _own(self, key: Key) -> dict[Element, int]:
        """What was spent on a node itself and the room it was charged.

        Slices of establishing cost go to their season, a divided part to its daughter.
        """
        node = self.made.node(key)
        came = [flow.amounts for flow in node.inflows if flow.source[0] in {"plot", "place", "planting"} and key[0] != "lot"]
        gone = [flow.amounts for flow in node.outflows if flow.target[0] in {"season", "planting"} and key[0] == "planting"]
        return less(added(node.own, *came), added(*gone))

    def _bear(self, sources: Mapping[Key, int], amounts: Amounts, months: Mapping[int, int]) -> None:
        for source, part in self._parted(sources, amounts):
            self.by_source[source].bear(part)
        for source, worked in zip(sources, shared_months(months, list(sources.values())), strict=True):
            self.by_source[source].work(worked)

    def _parted(self, sources: Mapping[Key, int], amounts: Amounts) -> Iterable[tuple[Key, Amounts]]:
        return zip(sources, share_amounts(amounts, list(sources.values())), strict=True)

    def _own_of_made_up(self) -> dict[int, tuple[int, Amounts]]:
        """batch -> its units and what was spent on making them up besides their stems, as long as none is sold."""
        making_up = set(Run.objects.filter(kind=Run.Kind.MAKING_UP).values_list("pk", flat=True))
        found: dict[int, tuple[int, Amounts]] = {}
        for run in self.made.facts.runs:
            if run.key in making_up:
                parts = share_amounts(self._own(("run", run.key)), run.weights)
                found |= {batch.key: (batch.made, part) for batch, part in zip(run.batches, parts, strict=True)}
        return found

    def _trace_income(self, lines: Sequence[IncomeLine]) -> None:
        """Net income to its sources, and what was spent on its stall day, order or sale, job or workshop by sales value."""
        by_spent_on: dict[int, list[IncomeLine]] = defaultdict(list)
        returns = returns_of(self.made)
        for line in lines:
            by_spent_on[line.spent_on].append(line)
            for source, kind, part in self._line_parts(line, line.net * MILLION):
                source.income_of[kind] += part
            for movement, bunches in line.movements:
                self._take_off(self._batch_of[movement], kept_of(movement, bunches, returns), JOBS if line.of_work else MADE_UP)
        for spent_on, sold in by_spent_on.items():
            key = (self.made.facts.kinds_of[spent_on], spent_on)
            self._share_selling(key, sold, self._minutes.get(key, {}))

    def _take_off(self, batch: int, bunches: int, kind: str) -> None:
        """What these units of made-up goods cost besides their stems comes off what they brought in, alone or in a job."""
        left, amounts = self._made_up.get(batch, (0, {}))
        going = min(max(bunches, 0), left)
        if going and amounts:
            gone, rest = share_amounts(amounts, [going, left - going])
            self._made_up[batch] = (left - going, rest)
            for source, part in self._parted(self._batch[batch], gone):
                self.by_source[source].taken_off[kind] += total(part)

    def _share_selling(self, spent_on: Key, sold: Sequence[IncomeLine], months: Mapping[int, int]) -> None:
        amounts = self.made.node(spent_on).own
        weights = [max(line.net, 0) for line in sold]
        weights = weights if any(weights) else [1] * len(sold)
        shares = share_amounts(amounts, weights)
        for line, share, worked in zip(sold, shares, shared_months(months, weights), strict=True):
            for element, amount in share.items():
                for source, kind, part in self._line_parts(line, amount):
                    source.bear({element: part}, kind)
            for month, minutes in worked.items():
                for source, _kind, part in self._line_parts(line, minutes):
                    source.work({month: part})

    def _line_parts(self, line: IncomeLine, amount: int) -> Iterable[tuple[Traced, str, int]]:
        """An amount of one income line by source and kind of income: the parting's lot, or its batches by stems."""
        kind = KIND_OF[line.kind]
        if line.of_work:
            parted = self.of_work.parts(line, amount)
            return [(self.by_source[one], kind, part) for one, part in parted] or [(self.untraced, kind, amount)]
        if line.partings:
            return [(self.by_source[self._parting[line.partings[0]]], kind, amount)]
        if not line.movements:
            return [(self.untraced, kind, amount)]
        parts: list[tuple[Traced, str, int]] = []
        by_movement = share_out(amount, [bunches for _, bunches in line.movements])
        for (movement, _), part in zip(line.movements, by_movement, strict=True):
            batch = self._batch_of[movement]
            sources, of = self._batch[batch], MADE_UP if batch in self._made_up else kind
            shares = share_out(part, list(sources.values()))
            parts += [(self.by_source[source], of, share) for source, share in zip(sources, shares, strict=True)]
        return parts


def planting_of(source: Key) -> int:
    """The planting a source is, or a season of."""
    kind, number = source
    return number // SEASONS_APART if kind == "season" else number
