"""What is kept of a line for an order line or a job: promised, used, given up, and each undone."""

from __future__ import annotations

from dataclasses import dataclass

from .book import insist, least
from .retail import Retail


@dataclass
class Promises(Retail):
    """A keeping is known by a key of its own."""

    def begin_to_keep(self, line: int, day: int) -> int:
        self.keeps[of := self.next()] = (line, day)
        return of

    def sum_of(self, of: int, *whys: str) -> int:
        return sum(one.bunches for one in self.changes(of) if not whys or one.why in whys)

    def promise(self, of: int, day: int, n: int, why: str) -> int:
        line, since = self.keeps[of]
        insist(day >= since, "before it was asked for")
        insist(n <= self.free(line, day), "not free")
        return self.keep(of, day, n, why)

    def least_kept(self, of: int, day: int) -> int:
        return max(least([(one.day, one.bunches) for one in self.changes(of)], day), 0)

    def use(self, of: int, day: int, n: int) -> list[int]:
        """What goes out comes off what is kept that day, then off what is kept later only, then off what is short."""
        that_day = min(n, self.least_kept(of, day))
        later = min(n, self.sum_of(of)) - that_day
        owed = min(n - that_day - later, self.short(of))
        last = max([day, *(one.day for one in self.changes(of))])
        uses = [(day, -that_day, "used"), (last, -later, "used"), (day, owed, "refilled"), (day, -owed, "used")]
        return [self.keep(of, at, by, why) for at, by, why in uses if by]

    def give_all_up(self, of: int, day: int) -> list[int]:
        """Free what is kept and owe no more what is short, on the last day it changed if that is later."""
        kept, short = self.sum_of(of), self.short(of)
        last = max([day, *(one.day for one in self.changes(of))])
        return [self.keep(of, last, n, why) for n, why in ((-kept - short, "released"), (short, "refilled")) if n]

    def undo_changes(self, keys: list[int]) -> None:
        """Undo changes of one keeping as one: less than nothing may be left neither to promise nor kept."""
        if not keys:
            return
        changes = [self.kept[key] for key in keys]
        of, first = changes[0].of, min(one.day for one in changes)
        insist(all(one.stands for one in changes), "undone already")
        before = self._left(of, first)
        for one in changes:
            one.stands = False
        for had, has in zip(before, self._left(of, first), strict=True):
            insist(has >= min(had, 0), "promised to others, or given back")

    def _left(self, of: int, day: int) -> tuple[int, int]:
        return self.not_promised(self.keeps[of][0], day), least([(one.day, one.bunches) for one in self.changes(of)], day)
