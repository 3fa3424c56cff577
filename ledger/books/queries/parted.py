"""What became of stems from the parting on: income and cost traced to what left each lot, and stems followed like a cost."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import replace
from datetime import date

from ledger.reckoning.book import Book, Key, LotFact, PartingFact, Spending, make_book
from ledger.reckoning.sharing import MILLION, share_out
from ledger.sales.queries.income import IncomeLine

from .tracing import IN_STOCK, Tracing

DRIED = ("hung", "cut_dry")
AFTER = frozenset({"drying", "drying_space", "bunching"})
ON_THE_WAY = frozenset({"hanging", "oddments", "run", "batch"})
STEMS = "cutting"


class PartedTracing(Tracing):
    """Income and later cost traced to what left a lot, instead of to the season it was cut in."""

    def __init__(self, made: Book, on: date) -> None:
        self._lots = {lot.key: lot for lot in made.facts.lots}
        self._lot_of = {one.key: one.lot for one in made.facts.partings}
        super().__init__(made, on)

    def _source_of_lot(self, lot: LotFact) -> Key:
        return "lot", lot.key

    def _source_of_parting(self, parting: PartingFact) -> Key:
        return "parting", parting.key

    def _planting_of(self, source: Key) -> int:
        return self._lots[self.lot_of(source)].planting

    def _trace_path(self) -> None:
        """Nothing is gathered: only what was sold or is gone is asked of it."""

    def _trace_income(self, lines: Iterable[IncomeLine]) -> None:
        """Nothing is gathered."""

    def lot_of(self, source: Key) -> int:
        """The lot a source left, or is."""
        kind, number = source
        return self._lot_of[number] if kind == "parting" else number

    def parts(self, line: IncomeLine, amount: int) -> list[tuple[Key, int]]:
        """An amount of an income line by what left a lot; what was bought in is nobody's."""
        if line.partings and not line.of_work:
            return [(("parting", line.partings[0]), amount)]
        found = self.of_work.parts(line, amount) if line.of_work else self._by_bunches(line, amount)
        return [(source, part) for source, part in found if source[0] != "bought"]

    def _by_bunches(self, line: IncomeLine, amount: int) -> list[tuple[Key, int]]:
        found: list[tuple[Key, int]] = []
        shares = share_out(amount, [bunches for _, bunches in line.movements]) if line.movements else []
        for (movement, _), share in zip(line.movements, shares, strict=True):
            sources = self.sources(("batch", self._batch_of[movement]))
            found += zip(sources, share_out(share, list(sources.values())), strict=True)
        return found

    def costs_gone(self) -> Mapping[Key, int]:
        """What drying, its room and bunching cost of all that is no longer in stock, by what left a lot, in millionths."""
        found: dict[Key, int] = defaultdict(int)
        for key, node in self.made.graph.nodes.items():
            gone = [at.amounts for at in node.standings if at.place not in IN_STOCK] if key[0] in ON_THE_WAY else []
            cost = sum(amount for amounts in gone for (stage, _kind), amount in amounts.items() if stage in AFTER)
            sources = self.sources(key) if cost else {}
            for source, part in zip(sources, share_out(cost, list(sources.values())) if sources else (), strict=True):
                found[source] += part
        return found


def follow_stems(made: Book) -> Book:
    """A book of the same path in which stems hung or cut dry are followed instead of money, a million a stem.

    Sound stems bear those lost beside them, as they do cost. The kind of each amount is its lot.
    """
    facts = made.facts
    kept = [one for one in facts.partings if one.way in DRIED]
    stems: dict[int, int] = defaultdict(int)
    for one in kept:
        stems[one.lot] += one.stems
    lots = [replace(lot, stems=stems[lot.key], values={}) for lot in facts.lots if lot.key in stems]
    spent = [Spending(lot.key, lot.on, str(lot.key), lot.stems * MILLION, ("lot", lot.key)) for lot in lots]
    return make_book(replace(
        facts, spending=spent, unbooked=0, spaces=(), uses=(), counts=(), lots=lots, partings=kept,
        hangings=[replace(one, disaster_bp=None) for one in facts.hangings],
        oddments=[replace(one, value=0) for one in facts.oddments],
    ))


def stems_of(followed: Book) -> tuple[Mapping[int, int], Mapping[int, int]]:
    """lot -> stems that are gone, and those still in stock, lost ones beside each counted in, in millionths."""
    gone: dict[int, int] = defaultdict(int)
    here: dict[int, int] = defaultdict(int)
    for at in followed.graph.standings():
        for (stage, lot), amount in at.amounts.items():
            if stage == STEMS:
                (here if at.place in IN_STOCK else gone)[int(lot)] += amount
    return gone, here
