"""Stock, sales and jobs driven by random verbs, beside a plain account that must agree after every step."""

from __future__ import annotations

from random import Random

from django.db import transaction
from hypothesis import HealthCheck, Phase, note, settings
from hypothesis import strategies as st
from hypothesis.stateful import initialize, rule, run_state_machine_as_test

from ledger.books.queries.proof import prove
from ledger.facts.models import User

from .machine.agreeing import Agreeing
from .machine.both import STEPS
from .machine.jobs import JobSteps
from .machine.sales import SalesSteps
from .machine.stock import StockSteps
from .machine.takes import TakeSteps
from .machine.undoing import UNDOING, UndoSteps
from .machine.world import FEW, lay_out

OFTEN = [*["undo"] * 6, *["sell", "pack", "send", "take_for_job", "keep_for_job", "count_in_take", "end_take"] * 2,
         "end_take", "fill_again", "let_go", "invoice", "invoice", "credit", "credit", "credit", "come_back", "take_out"]


class StockAndSales(StockSteps, TakeSteps, SalesSteps, JobSteps, UndoSteps, Agreeing):
    """All steps together, those of one part more often than the others."""

    @initialize(chance=st.randoms(use_true_random=True))
    def begin(self, chance: Random) -> None:
        """Both lines in two boxes, an order of each, some of it packed, a stock-take begun, and a job, at times left short."""
        part = chance.choice(sorted({step.part for step in STEPS.values()}))
        self.chance, self.often = chance, [*OFTEN, *[name for name, step in STEPS.items() if step.part == part] * 2]
        made, n = chance.randint(3, 6), FEW(chance)
        self.make_run(on=0, made=[(made, 1), (made, 2)])
        self.make_run(on=1, made=[(n, 1)])
        self.take_order(on=1, asked=[(5, 4), (5, 2)], first=0)
        self.pack(on=2, which=1, at=0, n=min(n, 3))
        self.open_job(on=1)
        self.keep_for_job(on=2, which=0, line=1, n=4)
        self.begin_take(on=1, of="all", at=1, line=0)
        if chance.random() < .4:
            self.sell(on=2, line=1, n=made * 2 - 3, box=0, beyond=True)

    @rule()
    def step(self) -> None:
        """One verb; left to the search, a few would be done over and over, and what rests on several never be reached."""
        name = self.chance.choice([name for name in [*STEPS, *self.often] if STEPS[name].where(self)])
        drawn = {what: draw(self.chance) for what, draw in STEPS[name].given.items()}
        note(f"{name}: {drawn}")
        getattr(self, name)(**drawn)

    def teardown(self) -> None:
        """Prove what came of it, then let the next example begin where this one did."""
        try:
            assert prove().differences == []
        finally:
            transaction.set_rollback(True)
            self.whole.__exit__(None, None, None)


PROFILE = settings(
    max_examples=40, stateful_step_count=30, deadline=None, suppress_health_check=list(HealthCheck),
    phases=set(Phase) - {Phase.shrink, Phase.explain},
)


def test_the_ledger_keeps_stock_and_sales_as_a_plain_account_does(owner: User) -> None:
    """Forty runs of thirty random verbs, back-dated and undone: the same figures after every step, and the proof at the end."""
    world = lay_out(owner)

    run_state_machine_as_test(lambda: StockAndSales(world), settings=PROFILE)

    undone = {f"undo {kind}" for kind in UNDOING}
    done = {*STEPS, "sell beyond", "written off", "drawn", "promise_more", "cancel", "do_job", "cancel_job"}
    done -= {"undo", "take_out", "promise_or_give_back", "end_job"}
    assert len(done - set(world.worked)) <= 2, "more verbs than the chance of the draw lets out"
    assert len(undone - set(world.worked)) <= 4, "more undoings than the chance of the draw lets out"
    assert sum(world.refused.values()) < sum(world.worked.values())
