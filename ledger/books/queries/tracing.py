"""Everything of the path traced back to the planting's season it came from."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
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
from .sold import returns_of

ONE_DAY = timedelta(days=1)
IN_STOCK = ("boxed", "loose", "hanging", "in water")
INCOME_KINDS = ("fresh", "dried", "made_up")


@dataclass
class Traced:
    """What was traced to one planting's season so far: millionths, minutes, stems.

    `income_of`: net income by kind ("fresh", "dried", "made_up"). `costs` is all
    it bore; `taken_off` the part of it that is other materials, work and selling
    of made-up goods sold, which come off what those brought in. `months`:
    minutes by month of the year.
    """

    income_of: dict[str, int] = field(default_factory=lambda: dict.fromkeys(INCOME_KINDS, 0))
    costs: dict[Element, int] = field(default_factory=dict)
    taken_off: dict[Element, int] = field(default_factory=dict)
    months: dict[int, int] = field(default_factory=dict)
    unsold: int = 0
    stems: int = 0

    @property
    def income(self) -> int:
        """All it brought in."""
        return sum(self.income_of.values())

    @property
    def minutes(self) -> int:
        """All minutes worked on it."""
        return sum(self.months.values())

    def bear(self, amounts: Amounts, kind: str = "") -> None:
        """Add a cost; what selling made-up goods cost comes off what they brought in."""
        self.costs = added(self.costs, amounts)
        if kind == "made_up":
            self.taken_off = added(self.taken_off, amounts)

    def work(self, months: Mapping[int, int]) -> None:
        """Add minutes."""
        for month, minutes in months.items():
            self.months[month] = self.months.get(month, 0) + minutes


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
        """Net income to its sources, and what was spent on its stall day, order or sale by sales value."""
        by_spent_on: dict[int, list[IncomeLine]] = defaultdict(list)
        returns = returns_of(self.made)
        for line in lines:
            by_spent_on[line.spent_on].append(line)
            for source, kind, part in self._line_parts(line, line.net * MILLION):
                source.income_of[kind] += part
            for movement, bunches in line.movements:
                self._take_off(self._batch_of[movement], bunches - sum(one.bunches for one in returns.get(movement, ())))
        for spent_on, sold in by_spent_on.items():
            key = (self.made.facts.kinds_of[spent_on], spent_on)
            self._share_selling(key, sold, self._minutes.get(key, {}))

    def _take_off(self, batch: int, bunches: int) -> None:
        """What these units of made-up goods cost besides their stems comes off what they brought in."""
        left, amounts = self._made_up.get(batch, (0, {}))
        going = min(max(bunches, 0), left)
        if going and amounts:
            gone, rest = share_amounts(amounts, [going, left - going])
            self._made_up[batch] = (left - going, rest)
            for source, part in self._parted(self._batch[batch], gone):
                self.by_source[source].taken_off = added(self.by_source[source].taken_off, part)

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
        if line.parting is not None:
            return [(self.by_source[self._parting[line.parting]], line.kind, amount)]
        if not line.movements:
            return [(self.untraced, line.kind, amount)]
        parts: list[tuple[Traced, str, int]] = []
        by_movement = share_out(amount, [bunches for _, bunches in line.movements])
        for (movement, _), part in zip(line.movements, by_movement, strict=True):
            batch = self._batch_of[movement]
            sources, kind = self._batch[batch], "made_up" if batch in self._made_up else line.kind
            shares = share_out(part, list(sources.values()))
            parts += [(self.by_source[source], kind, share) for source, share in zip(sources, shares, strict=True)]
        return parts


def planting_of(source: Key) -> int:
    """The planting a source is, or a season of."""
    kind, number = source
    return number // SEASONS_APART if kind == "season" else number
