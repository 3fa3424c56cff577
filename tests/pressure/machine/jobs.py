"""Steps of jobs: opened, kept for, taken for, what comes back, done and cancelled."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from ledger.sales import actions as sales
from ledger.sales.models import Job, JobHold
from ledger.stock.models import HoldChange

from .both import Both, verb
from .world import BEGUN, DAYS, FEW, LAST_DAY, LINE, ONE_OR_TWO, WHICH, among, between, day


class JobSteps(Both):
    """What is done for a job, of one piece without parts."""

    @verb(on=BEGUN)
    def open_job(self, on: int) -> None:
        self.keep(self.both("open_job", lambda account: account.open_job(on), lambda: self.opened(on)))

    def opened(self, on: int) -> Job:
        job = sales.open_job(
            **self.given(on), name="Wedding", kind="wedding", customer=self.world.customer, way=self.world.stall,
            held_on=day(LAST_DAY),
        )
        sales.add_piece(**self.given(on), job=job, name="bouquet", quantity=2, price=4500)
        return job

    @verb(where=lambda self: self.facts("job"), on=DAYS, which=WHICH, line=LINE, n=FEW)
    def keep_for_job(self, on: int, which: int, line: int, n: int) -> None:
        job = self.of_kind("job", which, stands=True)
        self.keep_changes(self.both(
            "keep_for_job", lambda account: account.keep_for_job(job, line, on, n),
            lambda: self.changed(
                lambda: sales.keep_for_job(**self.given(on), job=self.rows[job], line=self.world.lines[line], bunches=n)
            ),
        ))

    @verb(where=lambda self: self.account.kept_for, on=DAYS, which=WHICH, n=between(1, 3))
    def free_from_job(self, on: int, which: int, n: int) -> None:
        kept = list(self.account.kept_for)
        job, line = kept[-1 - which % len(kept)]
        own = JobHold.objects.get(job=self.rows[job], line=self.world.lines[line])
        self.keep_changes(self.both(
            "free_from_job", lambda account: account.free_from_job(job, line, on, n),
            lambda: self.changed(lambda: sales.free_from_job(**self.given(on), job_hold=own, bunches=n)),
        ))

    def changed(self, verb: Callable[[], Any]) -> list[HoldChange]:
        """The changes of holds that a verb makes, in their order."""
        last = HoldChange.objects.order_by("-pk").values_list("pk", flat=True).first() or 0
        verb()
        return list(HoldChange.objects.filter(pk__gt=last).order_by("pk"))

    def keep_changes(self, done: tuple[list[int], list[HoldChange]] | None) -> None:
        """A keeping or freeing of the account is the first of its changes in the ledger."""
        if done is None:
            return
        facts, rows = done
        for fact in facts:
            self.rows[fact] = rows[0]
            rows = rows[len(self.account.facts[fact].more["changes"]):]
        assert rows == []

    @verb(where=lambda self: self.facts("job"), on=DAYS, which=WHICH, line=LINE, n=FEW, box=among(0, 0, 0, 1, 2, 3))
    def take_for_job(self, on: int, which: int, line: int, n: int, box: int) -> None:
        job = self.of_kind("job", which, stands=True)
        what = {"line": self.world.lines[line], "bunches": n, "box": self.box(box)}
        self.keep(self.both(
            "take_for_job", lambda account: account.take_for_job(job, line, on, n, box or None),
            lambda: sales.take_bunches_for(**self.given(on), work=self.rows[job], **what),
        ))

    @verb(where=lambda self: self.facts("taken"), on=DAYS, which=WHICH, n=ONE_OR_TWO, box=between(0, 3))
    def come_back(self, on: int, which: int, n: int, box: int) -> None:
        taken = self.of_kind("taken", which, stands=True)
        self.keep(self.both(
            "come_back", lambda account: account.come_back_from(taken, on, n, box or None),
            lambda: sales.bring_bunches_back(**self.given(on), taken=self.rows[taken], bunches=n, box=self.box(box)),
        ))

    @verb(where=lambda self: self.facts("job"), on=DAYS, which=WHICH, verb=among("do_job", "cancel_job"))
    def end_job(self, on: int, which: int, verb: str) -> None:
        job = self.of_kind("job", which, stands=True)
        self.keep(self.both(
            verb, lambda account: getattr(account, verb)(job, on),
            lambda: getattr(sales, verb)(**self.given(on), job=self.rows[job]),
        ))
