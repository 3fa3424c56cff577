"""Materials: what fraction of every bill each use took, by counting units alone."""

from dataclasses import dataclass, field

from ledger.reckoning.book import CostFacts, MaterialCount, MaterialUse, Spending
from ledger.reckoning.sharing import share_out
from ledger.reckoning.years import year_of

from .system import System


@dataclass(frozen=True)
class Bit:
    """A part of a material's cost spent on something, unrounded, with the partings it went through."""

    spent_on: int
    on: object
    kind: str
    amount: float
    partings: int
    covers: None = None


@dataclass
class Store:
    """Units of one material there and owed, and what part of each bill is there."""

    bills: list[Spending] = field(default_factory=list)
    parts: list[float] = field(default_factory=list)
    units: int = 0
    unpaid: int = 0
    owed: list[list] = field(default_factory=list)
    noted: list[MaterialUse] = field(default_factory=list)
    takings: int = 0

    def take(self, units: int) -> list[float]:
        """Take units out at the average: that part of all that is there of each bill."""
        part = 1.0 if units >= self.units else units / self.units
        taken = [there * part for there in self.parts]
        self.parts = [there - gone for there, gone in zip(self.parts, taken, strict=True)]
        self.units = max(0, self.units - units)
        self.takings += 1
        return taken

    def bits(self, taken: list[float], spent_on: int, on: object) -> list[Bit]:
        return [
            Bit(spent_on, on, bill.kind, bill.amount * part, self.takings + 2)
            for bill, part in zip(self.bills, taken, strict=False)
            if part
        ]


def use_materials(system: System, facts: CostFacts) -> list[Spending | Bit]:
    """Everything spent, with what was used of materials; what lies there still comes to rest."""
    spending: list[Spending | Bit] = list(facts.spending)
    bills = [one for one in facts.spending if facts.kinds_of[one.spent_on] == "material"]
    for material in {*(one.spent_on for one in bills), *(one.material for one in (*facts.uses, *facts.counts))}:
        store = Store()
        spending += _run(system, facts, store, material, [one for one in bills if one.spent_on == material])
        for bill, part in zip(store.bills, store.parts, strict=True):
            system.spend(("rest", "materials"), ("materials", bill.kind), bill.amount * part, store.takings + 1)
    return spending


def _run(system: System, facts: CostFacts, store: Store, material: int, bills: list[Spending]) -> list[Bit]:
    bits: list[Bit] = []
    uses = sorted((one for one in facts.uses if one.material == material), key=lambda one: one.key)
    counts = sorted((one for one in facts.counts if one.material == material), key=lambda one: one.key)
    for on in sorted({one.on for one in (*bills, *uses, *counts)}):
        for bill in sorted((one for one in bills if one.on == on), key=lambda one: one.entry[1]):
            bits += _receive(store, bill)
        bits += _use(store, [one for one in uses if one.on == on])
        for count in (one for one in counts if one.on == on):
            bits += _count(system, facts, store, count)
    return bits


def _receive(store: Store, bill: Spending) -> list[Bit]:
    """A bill in: units used before it came take their part of it first."""
    store.bills.append(bill)
    store.takings += 1
    bits, units, part = [], bill.quantity, 1.0
    while store.owed and units:
        use, wanting = store.owed[0]
        taking = min(wanting, units)
        bits += store.bits([0.0] * len(store.parts) + [part * taking / units], use.spent_on, use.on)
        part -= part * taking / units
        units -= taking
        store.owed[0][1] -= taking
        store.owed = [one for one in store.owed if one[1]]
    store.parts.append(part)
    counted = min(units, store.unpaid)
    store.unpaid -= counted
    store.units += units - counted
    return bits


def _use(store: Store, uses: list[MaterialUse]) -> list[Bit]:
    """A day's uses take together, and are owed together what is not there."""
    if not uses:
        return []
    wanted = [one.quantity for one in uses]
    short = share_out(max(0, sum(wanted) - store.units), wanted)
    taken = store.take(sum(wanted))
    store.owed += [[use, units] for use, units in zip(uses, short, strict=True) if units]
    store.noted += uses
    return [
        bit
        for use in uses
        for bit in store.bits([part * use.quantity / sum(wanted) for part in taken], use.spent_on, use.on)
    ]


def _count(system: System, facts: CostFacts, store: Store, count: MaterialCount) -> list[Bit]:
    """What a count misses is shared over the uses since the last, else the year's runs, else it is the year's."""
    missing = store.units - sum(units for _, units in store.owed) - count.counted
    noted, store.noted = store.noted, []
    if missing <= 0:
        store.unpaid += count.counted - store.units if store.owed else 0
        store.units = count.counted
        return []
    taken = store.take(missing)
    targets = [(one.spent_on, one.on, one.quantity) for one in noted] or _runs(facts, count)
    for bit in [] if targets else store.bits(taken, 0, count.on):
        system.spend(("rest", "cost of the year"), ("materials", bit.kind), bit.amount, bit.partings)
    whole = sum(weight for _, _, weight in targets)
    return [
        bit
        for spent_on, on, weight in targets
        for bit in store.bits([part * weight / whole for part in taken], spent_on, on)
    ]


def _runs(facts: CostFacts, count: MaterialCount) -> list[tuple[int, object, int]]:
    ends = {"end_month": facts.calendar.year_end_month, "end_day": facts.calendar.year_end_day}
    year = year_of(count.on, **ends)
    return [
        (run.key, run.on, sum(batch.made for batch in run.batches))
        for run in facts.runs
        if run.on <= count.on and year_of(run.on, **ends) == year and not run.bought_in
    ]
