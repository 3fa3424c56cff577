"""Undoing whatever stands, by the verb of its kind."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from ledger.sales import actions as sales
from ledger.stock import actions as stock
from tests.pressure.plain.book import Fact

from .both import Both, verb
from .world import among, between

UNDOING: dict[str, Callable[..., Any]] = {
    "movement": stock.undo_movement, "run": stock.undo_run, "count": stock.undo_count, "held_back": stock.undo_hold_back,
    "let_go": stock.undo_let_go, "order": sales.undo_order, "promise": sales.undo_promise, "packing": sales.unpack,
    "dispatch": sales.undo_dispatch, "sale": sales.undo_sale, "asked": sales.undo_asked_change,
    "take": stock.undo_take, "counted": stock.undo_counted, "end": stock.undo_end_take, "repacking": stock.undo_repacking,
    "job": sales.undo_job, "kept": sales.undo_kept, "taken": sales.undo_taken, "came_back": sales.undo_came_back,
    "done": sales.undo_job_done, "cancelled": sales.undo_cancelling,
}
NAMED = {"promise": "change", "asked": "change", "kept": "change", "done": "job_done", "cancelled": "job_cancelled"}


class UndoSteps(Both):
    """Of each kind alike, however many there are, the last the likeliest; and now and then a thing twice."""

    @verb(where=lambda self: self.standing(), kind=between(0, len(UNDOING) * 60), which=among(0, 0, 0, 1, 1, *range(12)))
    def undo(self, kind: int, which: int) -> None:
        standing = self.standing()
        kinds = sorted({self.account.facts[key].kind for key in standing})
        keys = [key for key in standing if self.account.facts[key].kind == kinds[kind % len(kinds)]]
        for _ in range(2 if which == 7 else 1):
            self.undo_one(self.one_of(keys, which))

    def standing(self) -> list[int]:
        """What stands, but packings that were sent."""
        return [key for key, fact in self.account.facts.items() if fact.stands and not self.is_sent(fact)]

    def is_sent(self, fact: Fact) -> bool:
        return fact.kind == "packing" and self.account.is_sent(fact.more["parcel"])

    def undo_one(self, key: int) -> None:
        kind = self.account.facts[key].kind
        given = {NAMED.get(kind, kind): self.rows[key]}
        self.both(f"undo {kind}", lambda account: account.undo(key), lambda: UNDOING[kind](by=self.world.by, **given))
