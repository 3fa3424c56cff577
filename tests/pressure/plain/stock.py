"""Runs, moves, what leaves without being sold and comes back, counts of boxes, and boxes held back."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass

from .book import Batch, Book, Fact, Place, Wanted, insist, least

OUT = {"sold", "drawn"}
Missed = list[list[int]]


@dataclass
class Stock(Book):
    """The verbs of stock."""

    def free(self, line: int, day: int) -> int:
        back = sum(
            n for (batch, box), n in self.contents().items() if self.batches[batch].line == line and self.is_held_back(box, day)
        )
        return self.not_promised(line, day) - back

    # Runs and moves

    def make(self, day: int, outputs: list[tuple[int, int, int | None]]) -> int:
        """A run: (line, how many, box) of each line made."""
        made = []
        for line, _n, _box in outputs:
            self.batches[batch := self.next()] = Batch(line, day)
            made.append(batch)
        rows = [((batch, box), n, "made", None) for batch, (_line, n, box) in zip(made, outputs, strict=True)]
        return self.fact("run", day, self.post(day, rows), batches=made)

    def _undo_run(self, fact: Fact, key: int) -> None:
        batches = set(fact.more["batches"])
        insist(all(row.key in fact.rows for row in self.standing() if row.batch in batches), "bunches went on")
        counted = [place for kind in ("count", "end", "counted") for one in self.those(kind) for place in one.more["places"]]
        insist(not any(batch in batches for batch, _ in counted), "counted")
        self.unpost_lines(fact.rows)
        for batch in batches:
            self.batches[batch].stands = False

    def move(self, day: int, place: Place, target: int | None, n: int) -> int:
        insist(place[1] != target, "there already")
        rows: list[Wanted] = [(place, -n, "moved", None), ((place[0], target), n, "moved", None)]
        return self.fact("movement", day, self.post(day, rows))

    def take_out(self, day: int, place: Place, n: int, kind: str) -> int:
        return self.fact("movement", day, self.post(day, [(place, -n, kind, None)], promised_too=True))

    def bring_back(self, day: int, key: int, n: int, box: int | None) -> int:
        """Bunches that were sold or drawn come back into a box."""
        return self.fact("movement", day, self.come_back(day, key, n, box))

    def come_back(self, day: int, key: int, n: int, box: int | None) -> list[int]:
        row = self.rows[key]
        insist(row.stands and row.kind in OUT and day >= row.day and n <= self.still_out(key), "not out")
        return self.post(day, [((row.batch, box), n, "returned", key)])

    # Counts

    def count(self, day: int, box: int, counted: dict[int, int]) -> int:
        """A box counted, of some batches, and put right at once."""
        apart = [((batch, box), n - self.there_on((batch, box), day)) for batch, n in sorted(counted.items())]
        rows = self.post(day, self.put_right(day, apart), promised_too=True)
        return self.fact("count", day, rows, places=[place for place, _ in apart])

    def _undo_count(self, fact: Fact, key: int) -> None:
        self.unpost_lines(fact.rows)

    def put_right(self, day: int, apart: list[tuple[Place, int]]) -> list[Wanted]:
        """What is missing first, at most what is there ever after; what is over brings back that, then what counts missed."""
        rows: list[Wanted] = []
        here: dict[int, Missed] = defaultdict(list)
        before = {batch: self.missed(batch, day) for (batch, _), _over in apart}
        for place, over in sorted(apart, key=lambda one: one[1] >= 0):
            gone = min(-over, max(least(self.in_place(place), day), 0))
            if gone > 0:
                rows.append((place, -gone, "counted off", None))
                here[place[0]].append([-len(rows), gone])
            if over > 0:
                rows += self.found(place, over, "found", here[place[0]], before[place[0]])
        return rows

    def missed(self, batch: int, day: int) -> Missed:
        """What counts up to a day missed of a batch and nothing has brought back: [row, how many], the last missed first."""
        rows = [row for row in self.standing() if row.kind == "counted off" and row.batch == batch and row.day <= day]
        return [[row.key, self.still_out(row.key)] for row in sorted(rows, key=lambda row: (-row.day, -row.key))]

    def found(self, place: Place, n: int, kind: str, *missed: Missed) -> list[Wanted]:
        """Rows for bunches found; what they bring back is taken off what was missed."""
        rows: list[Wanted] = []
        for one in [one for some in missed for one in some]:
            back = min(n, one[1])
            if back > 0:
                rows.append((place, back, kind, one[0]))
                n, one[1] = n - back, one[1] - back
        return [*rows, (place, n, kind, None)] if n else rows

    # Boxes held back

    def is_held_back(self, box: int | None, day: int) -> bool:
        return any(
            one.kind == "held_back" and one.stands and one.more["box"] == box and one.day <= day <= one.more["until"]
            and all(gone.day > day for gone in self.those("let_go", held_back=key))
            for key, one in self.facts.items()
        )

    def hold_back(self, day: int, box: int, until: int) -> int:
        insist(until >= day, "backwards")
        insist(not self._held_back_within(box, day, until), "held back already")
        return self.fact("held_back", day, box=box, until=until)

    def _held_back_within(self, box: int, first: int, last: int) -> list[int]:
        return [
            key for key, one in self.facts.items()
            if one.kind == "held_back" and one.stands and one.more["box"] == box and one.day <= last
            and one.more["until"] >= first and all(gone.day > first for gone in self.those("let_go", held_back=key))
        ]

    def let_go(self, day: int, key: int) -> int:
        one = self.facts[key]
        gone = self.those("let_go", held_back=key)
        insist(one.stands and one.day <= day <= one.more["until"] and not gone, "not held back then")
        return self.fact("let_go", day, held_back=key)

    def _undo_held_back(self, fact: Fact, key: int) -> None:
        insist(not self.those("let_go", held_back=key), "let go")

    def _undo_let_go(self, fact: Fact, key: int) -> None:
        held = self.facts[fact.more["held_back"]]
        others = set(self._held_back_within(held.more["box"], fact.day, held.more["until"])) - {fact.more["held_back"]}
        insist(not others, "held back anew")
