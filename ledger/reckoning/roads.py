"""By which road the cost of a line's units came: with stems that hung, with others, or spent on their own run."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property

from ledger.reckoning.book import Book, Element, HangingFact, Key, Node, added, part_of
from ledger.reckoning.loss import WHOLE_BP
from ledger.reckoning.sharing import share_out
from ledger.reckoning.what_if import HUNG, OWN, STEMS, WORTH, Part

ROAD_OF = {"hanging": HUNG, "lot": STEMS, "oddments": WORTH}
Roads = dict[tuple[Element, str], int]


@dataclass(frozen=True)
class Borne:
    """What one unit of a line costs, part by part in millionths, and how its stems came.

    The parts of an element add up to what the cost sheet says of it. `made`:
    units of the batches it rests on. `hung`: the part of their stems that hung;
    `lost`: the share of the stems hung whose cost the others bear, None where
    none hung.
    """

    parts: tuple[Part, ...]
    made: int
    hung: Fraction
    lost: Fraction | None

    @property
    def of_stems(self) -> bool:
        """Whether any of the cost came with stems."""
        return any(part.road != OWN for part in self.parts)


def borne_by(book: Book, line: int) -> Borne | None:
    """Return what a unit of a line bears, resting on the batches its cost sheet rests on; None where none was made."""
    held = book.lines.get(line)
    if held is None:
        return None
    found = _Found(book)
    per_unit = part_of(held.amounts, 1, held.units)
    roads = _added(found.boxed(batch) for batch in held.batches)
    runs = sorted({found.run_of(batch) for batch in held.batches})
    hung, lost = found.stems_hung(runs)
    made = sum(found.made[batch] for batch in held.batches)
    return Borne(tuple(_parts(per_unit, roads)), made, hung, lost)


def _parts(per_unit: Mapping[Element, int], roads: Roads) -> Iterable[Part]:
    for element, amount in per_unit.items():
        weights = {road: part for (of, road), part in roads.items() if of == element}
        for road, part in _shared(amount, weights).items():
            yield Part(element, road, part)


def _shared(amount: int, weights: Mapping[str, int]) -> dict[str, int]:
    """An amount by road, as the weights lie, whichever their sign."""
    sizes = [abs(weight) or 1 for weight in weights.values()]
    return {road: part for road, part in zip(weights, share_out(amount, sizes), strict=True) if part}


def _added(several: Iterable[Roads]) -> Roads:
    found: Roads = {}
    for roads in several:
        for key, amount in roads.items():
            found[key] = found.get(key, 0) + amount
    return found


class _Found:
    """The roads into the batches of one book, each followed once."""

    def __init__(self, book: Book) -> None:
        self.book = book
        self.made = {batch.key: batch.made for run in book.facts.runs for batch in run.batches}
        self.whole: dict[int, Roads] = {}

    @cached_property
    def hangings(self) -> dict[int, HangingFact]:
        return {one.key: one for one in self.book.facts.hangings}

    def run_of(self, batch: int) -> Key:
        return self.book.node(("batch", batch)).inflows[0].source

    def boxed(self, batch: int) -> Roads:
        """What the units on hand of a batch carry, by road; of one sold out, what it carried."""
        node = self.book.node(("batch", batch))
        boxed = [at.amounts for at in node.standings if at.place == "boxed" and at.amounts]
        amounts = added(*boxed) if boxed else node.carried
        return self._split(amounts, self.of_batch(batch))

    def of_batch(self, batch: int) -> Roads:
        """What a whole batch carried, by road."""
        if batch not in self.whole:
            run = self.book.node(self.run_of(batch))
            self.whole[batch] = self._split(self.book.node(("batch", batch)).carried, self._into(run))
        return self.whole[batch]

    def _into(self, run: Node) -> Roads:
        """What a run carries: spent on it, and come in with stems or with bunches made before."""
        several: list[Roads] = [{(element, OWN): amount for element, amount in run.own.items()}]
        for flow in run.inflows:
            kind, number = flow.source
            if kind == "batch":
                inner = self._split(flow.amounts, self.of_batch(number))
                several += [{(of, STEMS if road == OWN else road): part} for (of, road), part in inner.items()]
            else:
                several.append({(element, ROAD_OF[kind]): part for element, part in flow.amounts.items()})
        return _added(several)

    def _split(self, amounts: Mapping[Element, int], as_in: Roads) -> Roads:
        found: Roads = {}
        for element, amount in amounts.items():
            weights = {road: part for (of, road), part in as_in.items() if of == element}
            found.update({(element, road): part for road, part in _shared(amount, weights).items()})
        return found

    def stems_hung(self, runs: Iterable[Key]) -> tuple[Fraction, Fraction | None]:
        """The part of the stems of some runs that hung, and what share of them was lost on the way."""
        stems = [one for run in runs for one in self._stems(run, Fraction(1))]
        sound = sum((number for hanging, number in stems if hanging is not None), Fraction(0))
        if not sound:
            return Fraction(0), None
        put_up = sum((number / self._through(self.hangings[one]) for one, number in stems if one is not None), Fraction(0))
        return sound / sum(number for _, number in stems), 1 - sound / put_up

    def _stems(self, run: Key, share: Fraction) -> Iterator[tuple[int | None, Fraction]]:
        """The stems in a share of a run, those in bunches it used among them, with the hanging they came from if any."""
        for flow in self.book.node(run).inflows:
            kind, number = flow.source
            if kind == "batch":
                yield from self._stems(self.run_of(number), share * Fraction(flow.part, flow.whole))
            else:
                yield (number if kind == "hanging" else None), flow.part * share

    def _through(self, one: HangingFact) -> Fraction:
        """How many of a stem put up bear its cost: sound ones, and what is expected of those still up."""
        up = one.stems - one.down - one.moved
        if one.disaster_bp is None:
            bear = one.sound * WHOLE_BP + up * (WHOLE_BP - one.norm_bp)
            rate = Fraction(bear, (one.stems - one.moved) * WHOLE_BP)
        else:
            bear = (one.sound + one.moved) * WHOLE_BP + up * (WHOLE_BP - one.disaster_bp)
            rate = Fraction(max(bear, one.stems * (WHOLE_BP - one.disaster_bp)), one.stems * WHOLE_BP)
        return rate if one.moved_from is None else rate * self._still_up(self.hangings[one.moved_from], one)

    def _still_up(self, first: HangingFact, moved: HangingFact) -> Fraction:
        """How many of a stem first put up were still good when some were moved on."""
        lost = sum(stems - sound for day, stems, sound in first.takings if day <= moved.on)
        kept = Fraction(first.stems - lost, first.stems)
        return kept if first.moved_from is None else kept * self._still_up(self.hangings[first.moved_from], first)

