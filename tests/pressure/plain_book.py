"""The stock book kept apart from the program: lists of rows, sums over them, and what a careful keeper would refuse.

Days, batches, boxes, lines and facts are small whole numbers given out here; box None is what is not yet boxed.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from typing import Any

Place = tuple[int, int | None]
OUT = {"sold", "drawn"}


class Refused(Exception):
    """A keeper of the book would not do this."""


def insist(true: bool, why: str) -> None:
    """Refuse unless it is so."""
    if not true:
        raise Refused(why)


def least(changes: Iterable[tuple[int, int]], day: int) -> int:
    """The smallest sum at the end of a day or of any day after it."""
    rows = list(changes)
    ends = {day} | {at for at, _ in rows if at > day}
    return min(sum(n for at, n in rows if at <= end) for end in ends)


@dataclass
class Row:
    """Bunches in or out of a place on a day; `back`: the row it brings back."""

    key: int
    batch: int
    box: int | None
    day: int
    bunches: int
    kind: str
    back: int | None = None
    stands: bool = True


@dataclass
class Kept:
    """A change of what an order line keeps; `with_row`: the row it was left short for."""

    key: int
    of: int
    day: int
    bunches: int
    why: str
    with_row: int | None = None
    stands: bool = True


@dataclass
class Batch:
    """Bunches of one line made by a run on a day."""

    line: int
    day: int
    stands: bool = True


@dataclass
class Fact:
    """Something done that can be undone: its rows, or what belongs to its kind."""

    kind: str
    day: int
    rows: list[int] = field(default_factory=list)
    stands: bool = True
    more: dict[str, Any] = field(default_factory=dict)


@dataclass
class Book:
    """Boxes on shelves, batches, rows, and what order lines keep of the lines of bunches."""

    lines: int
    shelved: list[int]
    rows: dict[int, Row] = field(default_factory=dict)
    kept: dict[int, Kept] = field(default_factory=dict)
    batches: dict[int, Batch] = field(default_factory=dict)
    facts: dict[int, Fact] = field(default_factory=dict)
    keeps: dict[int, tuple[int, int]] = field(default_factory=dict)
    last: int = 100

    def next(self) -> int:
        self.last += 1
        return self.last

    def fact(self, kind: str, day: int, rows: Iterable[int] = (), **more: Any) -> int:
        self.facts[key := self.next()] = Fact(kind, day, list(rows), more=more)
        return key

    # What there is

    def standing(self) -> list[Row]:
        return [row for row in self.rows.values() if row.stands]

    def changes(self, of: int) -> list[Kept]:
        return [one for one in self.kept.values() if one.of == of and one.stands]

    def in_place(self, place: Place) -> list[tuple[int, int]]:
        return [(row.day, row.bunches) for row in self.standing() if (row.batch, row.box) == place]

    def contents(self) -> dict[Place, int]:
        sums: Counter[Place] = Counter()
        for row in self.standing():
            sums[row.batch, row.box] += row.bunches
        return {place: n for place, n in sums.items() if n}

    def on_hand(self, line: int) -> int:
        return sum(n for (batch, _), n in self.contents().items() if self.batches[batch].line == line)

    def keeps_of(self, line: int) -> list[Kept]:
        return [one for one in self.kept.values() if one.stands and self.keeps[one.of][0] == line]

    def held(self, line: int) -> int:
        return sum(one.bunches for one in self.keeps_of(line))

    def short(self, of: int) -> int:
        return -sum(one.bunches for one in self.changes(of) if one.why in {"short", "refilled"})

    def not_promised(self, line: int, day: int) -> int:
        there = [(row.day, row.bunches) for row in self.standing() if self.batches[row.batch].line == line]
        return least([*there, *((one.day, -one.bunches) for one in self.keeps_of(line))], day)

    def free(self, line: int, day: int) -> int:
        back = sum(
            n for (batch, box), n in self.contents().items() if self.batches[batch].line == line and self.is_held_back(box, day)
        )
        return self.not_promised(line, day) - back

    # Writing and undoing rows

    def post(self, day: int, rows: list[tuple[Place, int, str, int | None]], *, promised_too: bool = False) -> list[int]:
        """Enter rows of one day, leaving the latest promises short where they must be."""
        for (batch, _), _n, _kind, _back in rows:
            insist(self.batches[batch].stands and day >= self.batches[batch].day, "no such batch that day")
        self._insist_there(day, [(place, n) for place, n, _kind, _back in rows])
        keys = [self.next() for _ in rows]
        for line in range(self.lines):
            of_line = [(key, n) for key, (place, n, _, _) in zip(keys, rows, strict=True) if self.batches[place[0]].line == line]
            change = sum(n for _, n in of_line)
            beyond = self.held(line) - self.on_hand(line) - change
            if change < 0 and beyond > 0:
                insist(promised_too, "promised")
                self._leave_short(line, day, beyond, of_line[0][0])
        for key, ((batch, box), n, kind, back) in zip(keys, rows, strict=True):
            self.rows[key] = Row(key, batch, box, day, n, kind, back)
        return keys

    def _insist_there(self, day: int, changes: list[tuple[Place, int]]) -> None:
        for place in {place for place, _ in changes}:
            change = sum(n for at, n in changes if at == place)
            insist(change >= 0 or least(self.in_place(place), day) + change >= 0, "not there")

    def _leave_short(self, line: int, day: int, bunches: int, with_row: int) -> None:
        of_line = [of for of, (its, _) in self.keeps.items() if its == line]
        for of in sorted(of_line, key=lambda of: (-self.keeps[of][1], -of)):
            keeps = sum(one.bunches for one in self.changes(of))
            less = min(keeps, bunches)
            if less > 0:
                last = max(one.day for one in self.changes(of))
                self.keep(of, max(day, last), -less, "short", with_row)
                bunches -= less

    def keep(self, of: int, day: int, bunches: int, why: str, with_row: int | None = None) -> int:
        key = self.next()
        self.kept[key] = Kept(key, of, day, bunches, why, with_row)
        return key

    def unpost(self, keys: list[int]) -> None:
        """Take rows of one day out again; promises they left short are kept again, as far as they are short still."""
        rows = [self.rows[key] for key in sorted(keys)]
        for row in rows:
            rests = any(other.back == row.key for other in self.standing())
            insist(row.stands and not rests, "undone, or brought back")
        self._insist_there(rows[0].day, [((row.batch, row.box), -row.bunches) for row in rows])
        line = self.batches[rows[0].batch].line
        change = -sum(row.bunches for row in rows)
        insist(change >= 0 or self.held(line) <= self.on_hand(line) + change, "promised")
        for row in rows:
            row.stands = False
        if change > 0:
            self._keep_again(rows[0].key)

    def _keep_again(self, with_row: int) -> None:
        for short in [one for one in self.kept.values() if one.with_row == with_row and one.stands]:
            again = min(-short.bunches, self.short(short.of))
            if again == -short.bunches:
                short.stands = False
            elif again > 0:
                self.keep(short.of, short.day, again, "refilled")

    # Verbs of stock

    def make(self, day: int, outputs: list[tuple[int, int, int | None]]) -> int:
        """A run: (line, how many, box) of each line made."""
        made = []
        for line, _n, _box in outputs:
            self.batches[batch := self.next()] = Batch(line, day)
            made.append(batch)
        rows = [((batch, box), n, "made", None) for batch, (_line, n, box) in zip(made, outputs, strict=True)]
        return self.fact("run", day, self.post(day, rows), batches=made)

    def move(self, day: int, place: Place, target: int | None, n: int) -> int:
        insist(place[1] != target, "there already")
        rows = [(place, -n, "moved", None), ((place[0], target), n, "moved", None)]
        return self.fact("movement", day, self.post(day, rows))

    def take_out(self, day: int, place: Place, n: int, kind: str) -> int:
        return self.fact("movement", day, self.post(day, [(place, -n, kind, None)], promised_too=True))

    def count(self, day: int, box: int, counted: dict[int, int]) -> int:
        """Put right as one, what is missing first, at most what is there on every later day."""
        before = {batch: sum(n for at, n in self.in_place((batch, box)) if at <= day) for batch in counted}
        rows: list[tuple[Place, int, str, int | None]] = []
        for batch, n in sorted(counted.items(), key=lambda one: (one[1] >= before[one[0]], one[0])):
            over, place = n - before[batch], (batch, box)
            gone = min(-over, max(least(self.in_place(place), day), 0))
            rows += self.found(place, over, day) if over > 0 else [(place, -gone, "counted off", None)] if gone else []
        return self.fact("count", day, self.post(day, rows, promised_too=True), batches=list(counted))

    def found(self, place: Place, n: int, day: int) -> list[tuple[Place, int, str, int | None]]:
        """Rows for bunches found: what counts up to that day missed comes back first, the last missed first."""
        rows: list[tuple[Place, int, str, int | None]] = []
        missed = [row for row in self.standing() if row.kind == "counted off" and row.batch == place[0] and row.day <= day]
        for row in sorted(missed, key=lambda row: (-row.day, -row.key)):
            back = min(n, self.still_out(row.key))
            if back > 0:
                rows.append((place, back, "found", row.key))
                n -= back
        return [*rows, (place, n, "found", None)] if n else rows

    def still_out(self, key: int) -> int:
        return -self.rows[key].bunches - sum(row.bunches for row in self.standing() if row.back == key)

    def bring_back(self, day: int, key: int, n: int, box: int | None) -> int:
        """Bunches that were sold or drawn come back into a box."""
        row = self.rows[key]
        insist(row.stands and row.kind in OUT and day >= row.day and n <= self.still_out(key), "not out")
        return self.fact("movement", day, self.post(day, [((row.batch, box), n, "returned", key)]))

    def is_held_back(self, box: int | None, day: int) -> bool:
        return any(
            one.kind == "held_back" and one.stands and one.more["box"] == box and one.day <= day <= one.more["until"]
            and all(gone.day > day for gone in self._let_gos(key))
            for key, one in self.facts.items()
        )

    def _let_gos(self, key: int) -> list[Fact]:
        return [one for one in self.facts.values() if one.kind == "let_go" and one.stands and one.more["held_back"] == key]

    def hold_back(self, day: int, box: int, until: int) -> int:
        insist(until >= day, "backwards")
        insist(not self._held_back_within(box, day, until), "held back already")
        return self.fact("held_back", day, box=box, until=until)

    def _held_back_within(self, box: int, first: int, last: int) -> list[int]:
        return [
            key for key, one in self.facts.items()
            if one.kind == "held_back" and one.stands and one.more["box"] == box and one.day <= last
            and one.more["until"] >= first and all(gone.day > first for gone in self._let_gos(key))
        ]

    def let_go(self, day: int, key: int) -> int:
        one = self.facts[key]
        insist(one.stands and one.day <= day <= one.more["until"] and not self._let_gos(key), "not held back then")
        return self.fact("let_go", day, held_back=key)

    # Undoing

    def undo(self, key: int) -> None:
        fact = self.facts[key]
        insist(fact.stands, "undone already")
        undoing: Callable[[Fact, int], None] = getattr(self, f"_undo_{fact.kind}")
        undoing(fact, key)
        fact.stands = False

    def _undo_movement(self, fact: Fact, key: int) -> None:
        self.unpost(fact.rows)

    def _undo_count(self, fact: Fact, key: int) -> None:
        self._unpost_lines(fact.rows)

    def _undo_run(self, fact: Fact, key: int) -> None:
        batches = set(fact.more["batches"])
        insist(all(row.key in fact.rows for row in self.standing() if row.batch in batches), "bunches went on")
        counts = [one for one in self.facts.values() if one.kind == "count" and one.stands]
        insist(not any(batches & set(one.more["batches"]) for one in counts), "counted")
        self._unpost_lines(fact.rows)
        for batch in batches:
            self.batches[batch].stands = False

    def _unpost_lines(self, keys: list[int]) -> None:
        """The rows of a run or a count are of several lines; each line by itself."""
        for line in range(self.lines):
            of_line = [key for key in keys if self.batches[self.rows[key].batch].line == line]
            if of_line:
                self.unpost(of_line)

    def _undo_held_back(self, fact: Fact, key: int) -> None:
        insist(not self._let_gos(key), "let go")

    def _undo_let_go(self, fact: Fact, key: int) -> None:
        held = self.facts[fact.more["held_back"]]
        others = set(self._held_back_within(held.more["box"], fact.day, held.more["until"])) - {fact.more["held_back"]}
        insist(not others, "held back anew")
