"""Sales by retail, and what is taken as sold though the book says otherwise."""

from __future__ import annotations

from dataclasses import dataclass

from .book import Fact, Place, Wanted, insist, least
from .takes import Takes


@dataclass
class Retail(Takes):
    """What is sold is taken from the oldest first."""

    def sell(self, day: int, line: int, n: int, box: int | None, *, beyond: bool) -> int:
        """Sell by retail; `beyond`: it happened, whatever the book says."""
        if not beyond:
            insist(not (box is not None and self.is_held_back(box, day)) and n <= self.free(line, day), "not free")
        keys, apart = self.take_as_sold(day, line, n, box, beyond=beyond)
        return self.fact("sale", day, keys, apart=apart)

    def take_as_sold(self, day: int, line: int, n: int, box: int | None, *, beyond: bool) -> tuple[list[int], int]:
        """The rows, and how many of them are undone each by itself; the others together."""
        picked = self._pick(day, line, n, box)
        missing = n - sum(taken for _, taken in picked)
        insist(beyond or not missing, "not there")
        found: list[Wanted] = []
        if missing:
            last, taken = picked.pop() if picked else (self._latest(line, day, box), 0)
            found = self.found(last, missing, "found beyond", self.missed(last[0], day))
            found.append((last, -taken - missing, "sold", None))
        sold: list[Wanted] = [(place, -taken, "sold", None) for place, taken in picked]
        return self.post(day, [*sold, *found], promised_too=beyond), len(sold)

    def _pick(self, day: int, line: int, n: int, box: int | None) -> list[tuple[Place, int]]:
        made = {key for key, one in self.batches.items() if one.line == line and one.day <= day}
        open_to_all = [None, *(at for at in self.shelved if not self.is_held_back(at, day))]
        boxes = open_to_all if box is None else [box]
        there = [(batch, at) for batch, at in self.contents() if batch in made and at in boxes]
        picked = []
        for place in sorted(there, key=self._oldest_first):
            taken = min(n, max(least(self.in_place(place), day), 0))
            if taken:
                picked.append((place, taken))
                n -= taken
        return picked

    def _oldest_first(self, place: Place) -> tuple[int, ...]:
        batch, box = place
        return (self.batches[batch].day, batch, box is None, box or 0)

    def _latest(self, line: int, day: int, box: int | None) -> Place:
        made = [(one.day, key) for key, one in self.batches.items() if one.stands and one.line == line and one.day <= day]
        insist(bool(made), "none was made by then")
        return max(made)[1], box

    def _undo_sale(self, fact: Fact, key: int) -> None:
        apart = fact.more["apart"]
        for group in [fact.rows[apart:], *([one] for one in reversed(fact.rows[:apart]))]:
            if group:
                self.unpost(group)
