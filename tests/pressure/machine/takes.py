"""Steps of stock-takes, and of boxes split, put together and emptied."""

from __future__ import annotations

from ledger.stock import actions as stock

from .both import Both, verb
from .world import BEGUN, DAYS, LINE, ONE_OR_TWO, WHICH, YES_OR_NO, among, between, one_or_two, shelf_of

MOST_BOXES = 6


class TakeSteps(Both):
    """What is done with boxes as a whole."""

    # Stock-takes

    @verb(on=BEGUN, of=among("shelf", "line", "all", "all"), at=between(1, 3), line=LINE)
    def begin_take(self, on: int, of: str, at: int, line: int) -> None:
        box, of_line = (at if of == "shelf" else None), (line if of == "line" else None)
        what = {"shelf": shelf_of(at) if box else "", "line": None if of_line is None else self.world.lines[line]}
        self.keep(self.both(
            "begin_take", lambda account: account.begin_take(on, box, of_line), lambda: stock.begin_take(**self.given(on), **what)
        ))

    def a_take(self, which: int) -> int:
        """One that is open, where one is; now and then one that is not."""
        found = [key for key, fact in self.account.facts.items() if fact.kind == "take"]
        going = [key for key in found if self.account.is_open(key)]
        going = [key for key in going if self.account.counted_in(key)] or going
        return self.one_of(going if going and which < 11 else found, which)

    def is_counted(self) -> bool:
        return any(self.account.is_open(key) and self.account.counted_in(key) for key in self.account.facts)

    @verb(
        where=lambda self: self.facts("take") and self.has_on_shelf(), on=DAYS, which=WHICH, at=WHICH,
        numbers=one_or_two(between(-3, 3)),
    )
    def count_in_take(self, on: int, which: int, at: int, numbers: list[int]) -> None:
        take, (batch, box) = self.a_take(which), self.place(at)
        others = [one for one in self.account.batches if self.account.batches[one].stands and one != batch]
        batches = [batch, *others[-1:]][:len(numbers)]
        counted = {one: max(self.account.there_on((one, box), on) + n, 0) for one, n in zip(batches, numbers, strict=False)}
        by_batch = {self.rows[one]: n for one, n in counted.items()}
        done = self.both(
            "count_in_take", lambda account: account.count_in_take(on, take, box, counted),
            lambda: stock.count_in_take(**self.given(on), take=self.rows[take], box=self.box(box), counted=by_batch),
        )
        for key, row in zip(*done, strict=True) if done else ():
            assert row.recorded == self.account.facts[key].more["recorded"]
            self.rows[key] = row

    @verb(where=lambda self: self.is_counted(), on=DAYS, which=WHICH)
    def end_take(self, on: int, which: int) -> None:
        take = self.a_take(which)
        reasons = {self.rows[key].pk: "mice" for key in self.account.counted_in(take)}
        self.keep(self.both(
            "end_take", lambda account: account.end_take(on, take),
            lambda: stock.end_take(**self.given(on), take=self.rows[take], reasons=reasons),
        ))

    # Repacking

    def shelved(self, which: int) -> int:
        return self.account.shelved[which % len(self.account.shelved)]

    @verb(where=Both.has_on_shelf, on=DAYS, which=WHICH, to=WHICH, n=ONE_OR_TWO, also=YES_OR_NO)
    def split(self, on: int, which: int, to: int, n: int, also: bool) -> None:
        boxes = [box for _, box in sorted(self.account.contents(), key=str) if box in self.account.shelved]
        box = boxes[which % len(boxes)] if boxes else self.shelved(which)
        there = [batch for batch, at in self.account.contents() if at == box] or list(self.account.batches)
        bunches = dict.fromkeys(there[:1 + also], n)
        new = len(self.account.shelved) < MOST_BOXES and to % 2 == 0
        target = None if new else self.shelved(to)
        into = {"shelf": shelf_of(self.account.last + 1)} if new else {"target": self.box(target)}
        by_batch = {self.rows[batch]: number for batch, number in bunches.items()}
        done = self.both(
            "split", lambda account: account.split(on, box, bunches, target),
            lambda: stock.split_box(**self.given(on), box=self.box(box), bunches=by_batch, **into),
        )
        self.keep(done)
        if done is not None and new:
            self.rows[self.account.facts[done[0]].more["target"]] = done[1].rows.last().movement.box

    @verb(where=Both.has_on_shelf, on=DAYS, which=WHICH, to=WHICH)
    def put_together(self, on: int, which: int, to: int) -> None:
        box, target = self.shelved(which), self.shelved(to)
        self.keep(self.both(
            "put_together", lambda account: account.put_together(on, box, target),
            lambda: stock.put_together(**self.given(on), box=self.box(box), target=self.box(target)),
        ))

    @verb(where=Both.has_on_shelf, on=DAYS, which=WHICH)
    def empty(self, on: int, which: int) -> None:
        box = self.shelved(which)
        self.keep(self.both(
            "empty", lambda account: account.empty(on, box), lambda: stock.empty_box(**self.given(on), box=self.box(box))
        ))
