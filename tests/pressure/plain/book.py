"""The stock book as lists of rows, and what a careful keeper would refuse to enter or to take out again."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from typing import Any

Place = tuple[int, int | None]
Wanted = tuple[Place, int, str, int | None]


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
    """Bunches in or out of a place on a day; `back`: the row it brings back; `undone`: when, among all that is entered."""

    key: int
    batch: int
    box: int | None
    day: int
    bunches: int
    kind: str
    back: int | None = None
    undone: int | None = None

    @property
    def stands(self) -> bool:
        return self.undone is None

    @property
    def place(self) -> Place:
        return self.batch, self.box


@dataclass
class Kept:
    """A change of what is kept for an order line or a job; `with_row`: the row it was left short for."""

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
    """Boxes on shelves, batches, rows, and what is kept of the lines of bunches (`keeps`: of which line, since which day)."""

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

    def those(self, kind: str, **more: Any) -> list[Fact]:
        """Facts of a kind that stand, with what is said of them."""
        found = [one for one in self.facts.values() if one.kind == kind and one.stands]
        return [one for one in found if all(one.more[name] == value for name, value in more.items())]

    # What there is

    def standing(self) -> list[Row]:
        return [row for row in self.rows.values() if row.undone is None]

    def changes(self, of: int) -> list[Kept]:
        return [one for one in self.kept.values() if one.of == of and one.stands]

    def in_place(self, place: Place) -> list[tuple[int, int]]:
        return [(row.day, row.bunches) for row in self.standing() if row.place == place]

    def there_on(self, place: Place, day: int) -> int:
        return sum(n for at, n in self.in_place(place) if at <= day)

    def contents(self) -> dict[Place, int]:
        sums: Counter[Place] = Counter()
        for row in self.standing():
            sums[row.place] += row.bunches
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

    def still_out(self, key: int) -> int:
        return -self.rows[key].bunches - sum(row.bunches for row in self.standing() if row.back == key)

    # Writing and undoing rows

    def post(self, day: int, rows: list[Wanted], *, promised_too: bool = False) -> list[int]:
        """Enter rows of one day, leaving the latest promises short where they must be.

        Each is a place, how many, what happened, and the row it brings back: below zero the first (-1), second … of these.
        """
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
            self.rows[key] = Row(key, batch, box, day, n, kind, keys[-1 - back] if back is not None and back < 0 else back)
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
            rests = any(other.back == row.key and other.key not in keys for other in self.standing())
            insist(row.stands and not rests, "undone, or brought back")
        self._insist_there(rows[0].day, [(row.place, -row.bunches) for row in rows])
        line = self.batches[rows[0].batch].line
        change = -sum(row.bunches for row in rows)
        insist(change >= 0 or self.held(line) <= self.on_hand(line) + change, "promised")
        for row in rows:
            row.undone = self.next()
        if change > 0:
            self._keep_again(rows[0].key)

    def unpost_lines(self, keys: list[int]) -> None:
        """Take rows of several lines out again, each line by itself."""
        for line in range(self.lines):
            of_line = [key for key in keys if self.batches[self.rows[key].batch].line == line]
            if of_line:
                self.unpost(of_line)

    def _keep_again(self, with_row: int) -> None:
        for short in [one for one in self.kept.values() if one.with_row == with_row and one.stands]:
            again = min(-short.bunches, self.short(short.of))
            if again == -short.bunches:
                short.stands = False
            elif again > 0:
                self.keep(short.of, short.day, again, "refilled")

    # Undoing

    def undo(self, key: int) -> None:
        fact = self.facts[key]
        insist(fact.stands, "undone already")
        undoing: Callable[[Fact, int], None] = getattr(self, f"_undo_{fact.kind}")
        undoing(fact, key)
        fact.stands = False

    def _undo_movement(self, fact: Fact, key: int) -> None:
        self.unpost(fact.rows)
