"""Steps of stock: runs, moves, what goes out and comes back, counts of boxes, and boxes held back."""

from __future__ import annotations

from typing import Any

from ledger.stock import actions as stock

from .both import Both, verb
from .world import DAYS, FEW, MADE, ONE_OR_TWO, WHICH, YES_OR_NO, between, day, one_or_two, pair


class StockSteps(Both):
    """What is done with batches and boxes."""

    @verb(on=MADE, made=one_or_two(pair(FEW, between(0, 3))))
    def make_run(self, on: int, made: list[tuple[int, int]]) -> None:
        outputs = [(line, n * 2, box or None) for line, (n, box) in enumerate(made)]
        put = [stock.Output(self.world.lines[line], n, box=self.box(box)) for line, n, box in outputs]
        inputs = [(self.world.hanging, 5 * sum(n for _, n, _ in outputs))]
        done = self.both(
            "make_run", lambda account: account.make(on, outputs),
            lambda: stock.make_run(**self.given(on), inputs=inputs, outputs=put),
        )
        self.keep(done)
        if done is not None:
            batches = self.account.facts[done[0]].more["batches"]
            self.rows.update(zip(batches, done[1].batches.order_by("line"), strict=True))

    @verb(where=Both.has_on_shelf, on=DAYS, which=WHICH, to=between(0, 3), n=FEW)
    def move(self, on: int, which: int, to: int, n: int) -> None:
        batch, box = self.place(which)
        where = {"source": self.box(box), "target": self.box(to)}
        self.keep(self.both(
            "move", lambda account: account.move(on, (batch, box), to or None, n),
            lambda: stock.move(**self.given(on), batch=self.rows[batch], bunches=n, **where)[0],
        ))

    @verb(where=Both.has_on_shelf, on=DAYS, which=WHICH, n=FEW, written_off=YES_OR_NO)
    def take_out(self, on: int, which: int, n: int, written_off: bool) -> None:
        batch, box = self.place(which)
        verb, kind = (stock.write_off, "written off") if written_off else (stock.draw, "drawn")
        self.keep(self.both(
            kind, lambda account: account.take_out(on, (batch, box), n, kind),
            lambda: verb(**self.given(on), batch=self.rows[batch], box=self.box(box), bunches=n, reason="mice"),
        ))

    @verb(where=lambda self: self.gone(), on=DAYS, which=WHICH, n=ONE_OR_TWO, box=between(0, 3))
    def bring_back(self, on: int, which: int, n: int, box: int) -> None:
        key = self.gone()[which % len(self.gone())]
        self.keep(self.both(
            "bring_back", lambda account: account.bring_back(on, key, n, box or None),
            lambda: stock.take_back(**self.given(on), movement=self.movement(key), bunches=n, box=self.box(box)),
        ))

    def gone(self) -> list[int]:
        return [row.key for row in self.account.standing() if row.kind in {"sold", "drawn"}]

    def movement(self, key: int) -> Any:
        """The row of the stock book that a row of the account is: that of the same place among its fact's own."""
        fact, of = next((fact, of) for of, fact in self.account.facts.items() if key in fact.rows)
        if fact.kind == "movement":
            return self.rows[of]
        rows = [one for one in fact.rows if self.account.rows[one].kind == "sold"]
        parts = {"sale": "takings", "dispatch": "lines", "taken": "rows"}[fact.kind]
        return getattr(self.rows[of], parts).order_by("pk")[rows.index(key)].movement

    @verb(
        where=Both.has_on_shelf, on=DAYS, at=between(1, 3), which=WHICH,
        numbers=one_or_two(between(0, 8)),
    )
    def count(self, on: int, at: int, which: int, numbers: list[int]) -> None:
        made = [key for key, batch in self.account.batches.items() if batch.stands]
        counted = {made[(which + step) % len(made)]: n for step, n in enumerate(numbers)}
        by_batch = {self.rows[batch]: n for batch, n in counted.items()}
        self.keep(self.both(
            "count", lambda account: account.count(on, at, counted),
            lambda: stock.count_box(**self.given(on), box=self.box(at), counted=by_batch),
        ))

    @verb(on=DAYS, at=between(1, 3), until=between(0, 7))
    def hold_back(self, on: int, at: int, until: int) -> None:
        self.keep(self.both(
            "hold_back", lambda account: account.hold_back(on, at, until),
            lambda: stock.hold_back(**self.given(on), box=self.box(at), until=day(until), why="to be looked over"),
        ))

    @verb(where=lambda self: self.facts("held_back"), on=DAYS, which=WHICH)
    def let_go(self, on: int, which: int) -> None:
        held = self.of_kind("held_back", which)
        self.rows[held].refresh_from_db()
        self.keep(self.both(
            "let_go", lambda account: account.let_go(on, held),
            lambda: stock.let_go(**self.given(on), held_back=self.rows[held]),
        ))
