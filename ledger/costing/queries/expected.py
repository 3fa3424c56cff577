"""What a fresh stem of a variety, or a unit of a material, is to cost as the cost book of a day sees it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Sequence
from dataclasses import dataclass
from datetime import date

from ledger.growing.models import Parting, Planting
from ledger.reckoning.book import Amounts, Book, Key, LotFact, Node, PlantingFact, season_key, total
from ledger.reckoning.sharing import MILLION
from ledger.reckoning.taking import proportion
from ledger.reckoning.years import season_of

from .bases import Bases
from .book import book
from .sheet import overhead_plan_on


@dataclass(frozen=True)
class Expected:
    """What `units` cost together, in millionths; `final` while no later fact of the season may still change it."""

    cost: int
    units: int
    final: bool = True

    def of(self, quantity: int) -> int:
        """What so many of them cost, in millionths, halves up."""
        return proportion(self.cost, quantity, self.units)


def stems_expected(varieties: Collection[int], on: date) -> dict[int, Expected]:
    """What fresh stems of varieties (keys) are to cost, overheads on top but no storage; those left out cannot be said yet.

    As those cut this season, those thrown out borne by the rest; before the first cut as its plantings expect; where nothing
    is expected, as those of the latest season.
    """
    if not varieties:
        return {}
    stems = _Stems(book(on), on, varieties)
    found = {variety: stems.of(variety) for variety in varieties}
    return {variety: expected for variety, expected in found.items() if expected is not None}


class _Stems:
    """Stems cut and to be cut of some varieties, as of a day."""

    def __init__(self, made: Book, on: date, varieties: Collection[int]) -> None:
        self.made, self.on, self.bases, self.plan = made, on, Bases(on), overhead_plan_on(on)
        self.season = self._season(on)
        self.thrown_out: Counter[int] = Counter()
        for one in made.facts.partings:
            self.thrown_out[one.lot] += one.stems if one.way == Parting.Way.THROWN_OUT else 0
        self.variety_of = dict(Planting.objects.filter(variety__in=varieties).values_list("pk", "variety_id"))

    def _season(self, day: date) -> int:
        return season_of(day, first_month=self.made.facts.calendar.season_first_month)

    def of(self, variety: int) -> Expected | None:
        lots = [lot for lot in self.made.facts.lots if self.variety_of.get(lot.planting) == variety]
        seasons = {self._season(lot.on) for lot in lots}
        if self.season in seasons:
            return self._cut(lots, self.season)
        return self._to_be_cut(variety) or (self._cut(lots, max(seasons)) if seasons else None)

    def _cut(self, lots: Sequence[LotFact], season: int) -> Expected | None:
        """By the stems cut in a season; None while that is too early to say."""
        those = [lot for lot in lots if self._season(lot.on) == season]
        nodes = [self.made.node(("lot", lot.key)) for lot in those]
        if not all(node.known for node in nodes):
            return None
        fit = sum(lot.stems for lot in those) - sum(self.thrown_out[lot.key] for lot in those)
        return self._expected(sum(self._to_the_shelf(node.carried) for node in nodes), fit, nodes) if fit else None

    def _to_be_cut(self, variety: int) -> Expected | None:
        """By what is expected of the season: the larger of cost so far and cost planned, over the stems expected."""
        rows = [
            (one.expected[self.season], self.made.node(self._key(one))) for one in self.made.facts.plantings
            if self.variety_of.get(one.key) == variety and self.season in one.expected and self._stands(one)
        ]
        stems = sum(expected for (expected, _planned), _node in rows)
        if not stems:
            return None
        base = sum(max(self._to_the_shelf(node.carried), (planned or 0) * MILLION) for (_stems, planned), node in rows)
        found = self._expected(base, stems, ())
        return Expected(found.cost, stems, final=False)

    def _stands(self, planting: PlantingFact) -> bool:
        return planting.cleared is None or planting.cleared > self.on

    def _key(self, planting: PlantingFact) -> Key:
        return season_key(planting.key, self.season) if planting.perennial else ("planting", planting.key)

    def _to_the_shelf(self, amounts: Amounts) -> int:
        return sum(amount for element, amount in amounts.items() if self.bases.in_shelf(element))

    def _expected(self, base: int, stems: int, nodes: Sequence[Node]) -> Expected:
        layers = (self.plan.overheads, self.plan.usual_idle_and_luck) if self.plan else ()
        on_top = sum(proportion(base, amount, self.plan.usual_base) for amount in layers if self.plan and amount)
        return Expected(base + on_top, stems, all(node.final for node in nodes))


def materials_expected(materials: Collection[int], on: date) -> dict[int, Expected]:
    """What materials (keys) cost at moving average; by the last use where none is left; those left out were never bought."""
    if not materials:
        return {}
    made = book(on)
    found = {material: _average(made.node(("material", material))) for material in materials}
    return {material: average for material, average in found.items() if average is not None}


def _average(node: Node) -> Expected | None:
    left = [at for at in node.standings if at.place == "materials" and at.quantity > 0 and at.amounts]
    if left:
        return Expected(sum(total(at.amounts) for at in left), sum(at.quantity for at in left))
    used = [flow for flow in node.outflows if flow.part and flow.given]
    return Expected(total(used[-1].given or {}), used[-1].part) if used else None
