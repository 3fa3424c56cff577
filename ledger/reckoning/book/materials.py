"""Materials at moving average: what each use took, and what a count says was used and not noted."""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from itertools import groupby

from ledger.reckoning.sharing import share_out
from ledger.reckoning.years import year_of

from .amounts import STAGE_OF, Amounts, added, less, parted, taken_of
from .facts import CostFacts, Element, Key, MaterialCount, MaterialUse, RunFact, Spending
from .graph import Flow, Graph

Row = Spending | MaterialUse | MaterialCount


@dataclass
class Store:
    """What is left of one material, and uses still owed their cost because their bill had not come.

    `unpaid`: units counted while uses were owed, which the bill still to come pays for.
    """

    quantity: int = 0
    unpaid: int = 0
    amounts: Amounts = field(default_factory=dict)
    owed: list[tuple[MaterialUse, int]] = field(default_factory=list)
    since_count: list[MaterialUse] = field(default_factory=list)

    def receive(self, quantity: int, amounts: Amounts) -> list[tuple[MaterialUse, int, Amounts]]:
        """Take a bill in; what was used before it came takes its part first."""
        served: list[tuple[MaterialUse, int, Amounts]] = []
        left = quantity
        while self.owed and left:
            use, wanting = self.owed.pop(0)
            taking = min(wanting, left)
            part = taken_of(amounts, left=left, taking=taking)
            served.append((use, taking, part))
            left, amounts = left - taking, less(amounts, part)
            if wanting > taking:
                self.owed.insert(0, (use, wanting - taking))
        counted_before = min(self.unpaid, left)
        self.unpaid -= counted_before
        self.quantity += left - counted_before
        self.amounts = added(self.amounts, amounts)
        return served

    def take(self, quantity: int) -> Amounts:
        """Take so many units out at the average; all that is left where more is used than is there."""
        if quantity >= self.quantity:
            amounts, self.quantity, self.amounts = self.amounts, 0, {}
            return amounts
        amounts = taken_of(self.amounts, left=self.quantity, taking=quantity)
        self.quantity -= quantity
        self.amounts = less(self.amounts, amounts)
        return amounts


class Materials:
    """Every material's days run through; `spending` is what the uses took, as spent on what they went into."""

    def __init__(self, graph: Graph, facts: CostFacts) -> None:
        self.graph, self.facts = graph, facts
        self.spending: list[Spending] = []

    def run(self, material: int, bills: Sequence[Spending]) -> None:
        """Run one material from its first day: a day's bills first, then its uses, then a count."""
        store = Store()
        uses = [one for one in self.facts.uses if one.material == material]
        counts = [one for one in self.facts.counts if one.material == material]
        rows: list[Row] = [*bills, *uses, *counts]
        for _, day in groupby(sorted(rows, key=_place), key=lambda one: one.on):
            self._day(material, store, list(day))
        self.graph.node(("material", material)).quantity = store.quantity
        self.graph.rest(("material", material), "materials", store.amounts, store.quantity)

    def _day(self, material: int, store: Store, day: Sequence[Row]) -> None:
        for bill in (one for one in day if isinstance(one, Spending)):
            for use, quantity, amounts in store.receive(bill.quantity, {("materials", bill.kind): bill.amount}):
                self._used(use, quantity, amounts)
        uses = [one for one in day if isinstance(one, MaterialUse)]
        if uses:
            self._take_together(store, uses)
        for count in (one for one in day if isinstance(one, MaterialCount)):
            self._counted(material, store, count)

    def _take_together(self, store: Store, uses: Sequence[MaterialUse]) -> None:
        wanted = [use.quantity for use in uses]
        short = max(0, sum(wanted) - store.quantity)
        owed = share_out(short, wanted)
        for use, amounts in zip(uses, parted(store.take(sum(wanted)), wanted), strict=True):
            self._used(use, use.quantity, amounts)
        store.owed += [(use, quantity) for use, quantity in zip(uses, owed, strict=True) if quantity]
        store.since_count += uses

    def _used(self, use: MaterialUse, quantity: int, amounts: Amounts) -> None:
        self._spend(use.material, use.spent_on, use.on, quantity, amounts, ("use", use.key))

    def _spend(self, material: int, spent_on: int, on: date, quantity: int, amounts: Amounts, entry: Key) -> None:
        """Hand amounts from a material to what it was used on, as a cost of that stage."""
        kind = self.facts.kinds_of[spent_on]
        staged: dict[Element, int] = {(STAGE_OF[kind], code): amount for (_, code), amount in amounts.items()}
        key: Key = ("material", material)
        self.graph.node(key).outflows.append(Flow(key, (kind, spent_on), quantity, quantity, "units", staged, amounts))
        self.spending += [Spending(spent_on, on, code, amount, entry) for (_, code), amount in amounts.items()]

    def _counted(self, material: int, store: Store, count: MaterialCount) -> None:
        """What is missing goes to the uses noted since the last count, else to the year's runs, else it is the year's."""
        missing = store.quantity - sum(quantity for _, quantity in store.owed) - count.counted
        uses, store.since_count = store.since_count, []
        if missing <= 0:
            store.unpaid += count.counted - store.quantity if store.owed else 0
            store.quantity = count.counted
            return
        amounts, entry = store.take(missing), ("count", count.key)
        targets = [(use.spent_on, use.on, use.quantity) for use in uses] or [
            (run.key, run.on, sum(batch.made for batch in run.batches)) for run in self._runs_of_year(count.on)
        ]
        if not targets:
            self.graph.rest(("material", material), "cost of the year", amounts, missing, on=count.on, event=entry)
            return
        weights = [weight for _, _, weight in targets]
        parts = zip(targets, share_out(missing, weights), parted(amounts, weights), strict=True)
        for (spent_on, on, _), quantity, part in parts:
            self._spend(material, spent_on, on, quantity, part, entry)

    def _runs_of_year(self, on: date) -> Iterable[RunFact]:
        calendar = self.facts.calendar
        ends = {"end_month": calendar.year_end_month, "end_day": calendar.year_end_day}
        runs = [run for run in self.facts.runs if not run.bought_in]
        return [run for run in runs if run.on <= on and year_of(run.on, **ends) == year_of(on, **ends)]


def _place(one: Row) -> tuple[date, int, int]:
    if isinstance(one, Spending):
        return (one.on, 0, one.entry[1])
    return (one.on, 1 if isinstance(one, MaterialUse) else 2, one.key)


def use_materials(graph: Graph, facts: CostFacts) -> CostFacts:
    """Lay materials' bills on them, and return the facts with what each use took as spent on what it went into."""
    bills: dict[int, list[Spending]] = defaultdict(list)
    for one in facts.spending:
        if facts.kinds_of[one.spent_on] == "material":
            bills[one.spent_on].append(one)
    materials = Materials(graph, facts)
    for material in sorted({*bills, *(one.material for one in facts.uses), *(one.material for one in facts.counts)}):
        materials.run(material, bills[material])
    if not materials.spending:
        return facts
    rows = sorted([*facts.spending, *materials.spending], key=lambda one: (one.on, one.entry, one.spent_on, one.kind))
    return replace(facts, spending=rows)
