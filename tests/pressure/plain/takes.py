"""Stock-takes, counted place by place and put into the book at their end; and boxes split, put together and emptied."""

from __future__ import annotations

from dataclasses import dataclass

from .book import Fact, Place, Row, Wanted, insist
from .stock import Stock


@dataclass
class Takes(Stock):
    """A place counted is a fact of its own; its key says after which entries it was counted."""

    # Stock-takes

    def begin_take(self, day: int, box: int | None, line: int | None) -> int:
        """Of one box's shelf, of a line wherever it lies, or of everything."""
        return self.fact("take", day, box=box, line=line)

    def is_open(self, take: int) -> bool:
        return self.facts[take].kind == "take" and self.facts[take].stands and not self.those("end", take=take)

    def count_in_take(self, day: int, take: int, box: int | None, counted: dict[int, int]) -> list[int]:
        """Note what was counted in a place; what was counted there before counts no more."""
        self._insist_open(take, day)
        of = self.facts[take].more
        insist(of["box"] is None or of["box"] == box, "another shelf")
        return [self._count_one(day, take, (batch, box), counted[batch]) for batch in sorted(counted)]

    def _count_one(self, day: int, take: int, place: Place, n: int) -> int:
        batch, line = self.batches[place[0]], self.facts[take].more["line"]
        insist(line is None or line == batch.line, "another line")
        insist(batch.stands and day >= batch.day, "no such batch that day")
        recorded = self.there_on(place, day)
        for before in self.those("counted", take=take, places=[place]):
            before.stands = False
        return self.fact("counted", day, take=take, places=[place], n=n, recorded=recorded)

    def _insist_open(self, take: int, day: int) -> None:
        insist(self.is_open(take) and day >= self.facts[take].day, "not begun, or ended")

    def counted_in(self, take: int) -> list[int]:
        return [key for key, one in self.facts.items() if one.kind == "counted" and one.stands and one.more["take"] == take]

    def end_take(self, day: int, take: int) -> int:
        """All that counting showed goes into the book as one, but what was counted by itself since or cannot be told any more."""
        self._insist_open(take, day)
        counted = self.counted_in(take)
        insist(bool(counted) and all(day >= self.facts[key].day for key in counted), "nothing counted, or later")
        apart = [(self.facts[key].more["places"][0], self._over(key)) for key in counted if not self._counted_since(key)]
        told = sorted(((place, over) for place, over in apart if over is not None), key=lambda one: self._walked(one[0]))
        rows = self.post(day, self.put_right(day, told), promised_too=True)
        return self.fact("end", day, rows, take=take, places=[place for place, _ in told])

    def _walked(self, place: Place) -> tuple[int, ...]:
        return (place[1] is None, place[1] or 0, self.batches[place[0]].day, place[0])

    def _counted_since(self, key: int) -> bool:
        later = [one for at, one in self.facts.items() if at > key and one.stands and one.kind in {"count", "end"}]
        return any(self.facts[key].more["places"][0] in one.more["places"] for one in later)

    def _over(self, key: int) -> int | None:
        """How many more were counted than the book now says there were then; None where that cannot be told any more.

        What a sale beyond the record found since is found already. It cannot be told where something the book knew of was
        undone since: it may be what is missing, or what is over.
        """
        fact = self.facts[key]
        here = [row for row in self.rows.values() if row.place == fact.more["places"][0]]
        known = sum(row.bunches for row in here if row.stands and self._was_known(row, fact, key))
        since = sum(row.bunches for row in here if row.stands and row.kind == "found beyond" and self._is_later(row, fact, key))
        over = fact.more["n"] - known
        over -= min(max(over, 0), since)
        overtaken = known != fact.more["recorded"] and any(self._was_undone(row, key) for row in here if row.day <= fact.day)
        return None if over and (overtaken or self._day_changed(here, fact, key)) else over

    def _was_known(self, row: Row, fact: Fact, key: int) -> bool:
        """Of earlier days whenever entered, of its own day as entered by then; and what was not missing after all that day."""
        missed = self.rows[row.back] if row.kind == "found" and row.back else None
        after_all = missed is not None and (missed.day, missed.box) == (row.day, row.box) and missed.key < key
        return row.day < fact.day or (row.day == fact.day and (row.key < key or after_all))

    def _is_later(self, row: Row, fact: Fact, key: int) -> bool:
        return row.day > fact.day or (row.day == fact.day and row.key > key)

    def _was_undone(self, row: Row, key: int) -> bool:
        return row.key < key and row.undone is not None and row.undone > key

    def _day_changed(self, here: list[Row], fact: Fact, key: int) -> bool:
        """Whether rows of its line and day were undone since, and others of that day entered here."""
        line = self.batches[fact.more["places"][0][0]].line
        that_day = [row for row in self.rows.values() if row.day == fact.day and self.batches[row.batch].line == line]
        anew = any(row.stands and row.day == fact.day and row.key > key for row in here)
        return anew and any(self._was_undone(row, key) for row in that_day)

    def _undo_take(self, fact: Fact, key: int) -> None:
        insist(not self.those("end", take=key), "ended")
        for one in self.those("counted", take=key):
            one.stands = False

    def _undo_counted(self, fact: Fact, key: int) -> None:
        insist(not self.those("end", take=fact.more["take"]), "ended")

    def _undo_end(self, fact: Fact, key: int) -> None:
        self.unpost_lines(fact.rows)

    # Repacking

    def split(self, day: int, box: int, bunches: dict[int, int], target: int | None) -> int:
        """Some go into another box, None: a new one."""
        insist(box != target, "there already")
        into = target or self.next()
        if target is None:
            self.shelved.append(into)
        return self._repack(day, box, into, bunches)

    def put_together(self, day: int, box: int, target: int) -> int:
        insist(box != target, "there already")
        return self._repack(day, box, target, self._all_of(box))

    def empty(self, day: int, box: int) -> int:
        return self._repack(day, box, None, self._all_of(box))

    def _all_of(self, box: int) -> dict[int, int]:
        there = {batch: n for (batch, at), n in self.contents().items() if at == box}
        insist(bool(there), "empty")
        return there

    def _repack(self, day: int, box: int, target: int | None, bunches: dict[int, int]) -> int:
        rows: list[Wanted] = []
        for batch, n in sorted(bunches.items()):
            rows += [((batch, box), -n, "moved", None), ((batch, target), n, "moved", None)]
        return self.fact("repacking", day, self.post(day, rows), target=target)

    def _undo_repacking(self, fact: Fact, key: int) -> None:
        self.unpost_lines(fact.rows)
