"""What one job or workshop really brought in and cost, beside what was planned of it."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from ledger.costing.queries import book
from ledger.costing.queries.names import entry_url, entry_words
from ledger.growing.models import Planting
from ledger.reckoning.book import Entry, Key
from ledger.reckoning.price import margin_of
from ledger.reckoning.printing import printed_costs
from ledger.reckoning.sharing import printed, share_out
from ledger.sales.models import Job, Workshop
from ledger.sales.queries.income import JOB, WORKSHOP, IncomeLine, taken_by

from .margins import names_of
from .market_days import PAID_WORK, minutes_on
from .sold import SoldLine, Weighing, events_of, kept_of, sold_lines

Thing = tuple[str, int]


@dataclass(frozen=True)
class Costs:
    """What something cost, in millionths: goods to the shelf, paid work, own hours, all else spent on it, fees.

    `shelf` is None where it cannot be said yet.
    """

    shelf: int | None
    work: int = 0
    own_work: int = 0
    other: int = 0
    fees: int = 0

    @property
    def beside(self) -> tuple[int, int, int, int]:
        """All but the goods."""
        return self.work, self.own_work, self.other, self.fees


@dataclass(frozen=True)
class Account:
    """Net and costs in whole minor units that add up; `shelf` and all that rests on it None where it cannot be said yet."""

    net: int
    shelf: int | None
    work: int
    own_work: int
    other: int
    fees: int

    @property
    def all_work(self) -> int:
        """Paid work and own hours."""
        return self.work + self.own_work

    @property
    def cost(self) -> int | None:
        """All of it together."""
        return None if self.shelf is None else self.shelf + self.all_work + self.other + self.fees

    @property
    def left(self) -> int | None:
        """Net less all of it."""
        return None if self.cost is None else self.net - self.cost

    @property
    def left_bp(self) -> int | None:
        """What was left of net, in hundredths of a per cent."""
        return None if self.left is None or self.net <= 0 else margin_of(self.net - self.left, self.net)


def account_of(net: int, costs: Costs) -> Account:
    """The account of net minor units and costs, rounded so that it adds up."""
    ((shelf, beside),) = printed_costs([(costs.shelf or 0, costs.beside)])
    return Account(net, None if costs.shelf is None else shelf, *beside)


@dataclass(frozen=True)
class Gone:
    """One thing taken: bunches of a line or fresh stems of a variety; what came back; what the rest cost (millionths)."""

    thing: Thing
    name: Any
    taken: int
    back: int
    cost: int


@dataclass(frozen=True)
class ThingRow:
    """One thing that was to be taken or was: bunches of a line or fresh stems, whole minor units (None: cannot be said)."""

    name: Any
    planned: int
    taken: int
    back: int
    planned_cost: int | None
    cost: int | None


@dataclass(frozen=True)
class Spent:
    """One entry spent on the work itself: its day, in words, where it is opened, whole minor units."""

    on: date
    says: str
    url: str
    amount: int


@dataclass(frozen=True)
class Actual:
    """What a job or workshop brought in and took as of a day; `lines` its income, none while nothing of it is income."""

    lines: Sequence[IncomeLine]
    gone: Sequence[Gone]
    spent: Sequence[Spent]
    minutes: int
    costs: Costs
    fees_by: frozenset[str]
    final: bool

    @property
    def net(self) -> int:
        """Net income, whole minor units."""
        return sum(line.net for line in self.lines)

    @property
    def things(self) -> Sequence[ThingRow]:
        """What was taken, without a plan beside it."""
        costs = printed([one.cost for one in self.gone])
        known = self.costs.shelf is not None
        return [
            ThingRow(one.name, 0, one.taken, one.back, None, cost if known else None)
            for one, cost in zip(self.gone, costs, strict=True)
        ]

    @property
    def account(self) -> Account:
        """Net and costs, printed."""
        return account_of(self.net, self.costs)


def actual(work: Job | Workshop, on: date) -> Actual:
    """What a job or workshop really brought in and cost, as of a day."""
    made = book(on)
    key: Key = ("job" if isinstance(work, Job) else "workshop", work.pk)
    sold = [line for line in sold_lines(on) if line.spent_on == key]
    weighing, node = Weighing(made, on), made.node(key)
    line = _that_took(sold) or weighing.weigh(_pending(work, on), 0)
    own = node.own
    paid = weighing.bases.money_spent(own)
    labour = sum(amount for (_stage, kind), amount in own.items() if kind == PAID_WORK)
    costs = Costs(line.shelf, labour, sum(own.values()) - paid, paid - labour, sum(one.fees for one in sold))
    return Actual(
        lines=[one.of for one in sold], gone=_gone(weighing, line), spent=_spent(node.direct),
        minutes=minutes_on([work], on)[work.pk].all, costs=costs,
        fees_by=frozenset(one.fees_by for one in sold if one.fees_by), final=line.final,
    )


def _that_took(sold: Iterable[SoldLine]) -> SoldLine | None:
    """The line that bears all that was taken."""
    return next((one for one in sold if one.of.kind in {JOB, WORKSHOP}), None)


def _pending(work: Job | Workshop, on: date) -> IncomeLine:
    """A line that brings in nothing with all that was taken for work that is not over."""
    went = taken_by(on)[work.pk]
    return IncomeLine(
        on=on, kind=JOB if isinstance(work, Job) else WORKSHOP, movements=tuple(went.movements), partings=tuple(went.partings),
        net=0, gross=0, way=work.way_id, customer=None, spent_on=work.pk,
    )


def _gone(weighing: Weighing, line: SoldLine) -> list[Gone]:
    """Each thing a line took, the dearest first; together they cost what the line did."""
    rows = list(_each_taken(weighing, line.of))
    bases = [max(base, 0) for _thing, _taken, _back, base in rows]
    shares = share_out(line.shelf, bases) if line.shelf and any(bases) else [0] * len(rows)
    sums: dict[Thing, list[int]] = defaultdict(lambda: [0, 0, 0])
    for (thing, taken, back, _base), cost in zip(rows, shares, strict=True):
        sums[thing] = [so_far + more for so_far, more in zip(sums[thing], (taken, back, cost), strict=True)]
    names = names_of(sums)
    found = [Gone(thing, names.get(thing, ""), *several) for thing, several in sums.items()]
    return sorted(found, key=lambda one: (-one.cost, one.thing))


def _each_taken(weighing: Weighing, line: IncomeLine) -> Iterator[tuple[Thing, int, int, int]]:
    """The thing, how many were taken and came back, and what the rest cost to the shelf without the year's overheads."""
    facts, returns = weighing.made.facts, weighing.returns
    planting_of = {one.key: one.planting for one in facts.lots}
    variety_of = dict(Planting.objects.values_list("pk", "variety_id")) if line.partings else {}
    line_of = {batch.key: batch.line for run in facts.runs for batch in run.batches}
    for parting in (weighing.partings[one] for one in line.partings):
        base = weighing.to_the_shelf([("parting", parting.key)])
        yield ("fresh", variety_of[planting_of[parting.lot]]), parting.stems, 0, base
    for movement, bunches in line.movements:
        base, kept = weighing.to_the_shelf(events_of(movement, returns)), kept_of(movement, bunches, returns)
        yield ("line", line_of[weighing.batch_of[movement]]), bunches, bunches - kept, base


def _spent(direct: Sequence[Entry]) -> list[Spent]:
    """Every entry spent on the work, in order of day, printed so that they add up."""
    entries = sorted(direct, key=lambda one: (one.on, one.source))
    words = entry_words([one.source for one in entries])
    amounts = printed([sum(one.amounts.values()) for one in entries])
    return [
        Spent(one.on, words.get(one.source, ""), entry_url(one.source), amount)
        for one, amount in zip(entries, amounts, strict=True)
    ]
