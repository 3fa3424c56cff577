"""A job's verbs and their undoing in any order: whatever is refused or not, everything agrees after every step."""

from collections.abc import Callable
from datetime import date, timedelta
from random import Random
from typing import Any

import pytest
from django.core.exceptions import ValidationError

from ledger.books.queries.proof_jobs import job_differences
from ledger.books.queries.proof_quantities import quantity_differences
from ledger.facts.models import User
from ledger.sales import actions
from ledger.sales.models import (
    CameBack,
    Deposit,
    HireBack,
    HireOut,
    Job,
    JobCancelled,
    JobDone,
    JobHire,
    JobPiece,
    Payment,
    Taken,
)
from ledger.stock.actions import write_off
from ledger.stock.models import HoldChange
from tests.factories.growing import LotFactory
from tests.factories.jobs import JobFactory, PieceFactory, piece_of
from tests.factories.sales import Ready, order_of, ready
from tests.factories.workshops import HireItemFactory

FIRST, STEPS = date(2024, 8, 20), 40


class Story:
    """One job with a line, a lot and jars to hire; every draw of the lot does one thing or undoes one."""

    def __init__(self, by: User, seed: int) -> None:
        self.by, self.draw = by, Random(seed)
        self.stock: Ready = ready(20)
        self.lot, self.jar = LotFactory(stems=60), HireItemFactory(owned=6)
        self.job: Job = JobFactory()
        piece_of(self.job, self.stock, 35)
        self.done = 0

    def day(self) -> date:
        return FIRST + timedelta(self.draw.randrange(20))

    def some(self) -> int:
        return self.draw.randint(1, 8)

    def of(self, rows: Any) -> Any:
        """Any one of them, undone or not."""
        found = list(rows.order_by("pk"))
        if not found:
            raise ValidationError("nothing there")
        return self.draw.choice(found)

    def step(self) -> None:
        try:
            self.draw.choice(VERBS)(self)
            self.done += 1
        except ValidationError:
            pass


def _do(name: str, **given: Callable[[Story], Any]) -> Callable[[Story], Any]:
    verb = getattr(actions, name)
    return lambda story: verb(by=story.by, **{what: one(story) for what, one in given.items()})


def _job(story: Story) -> Job:
    return Job.objects.get(pk=story.job.pk)


def _any(model: Any) -> Callable[[Story], Any]:
    return lambda story: story.of(model.objects.all())


ON, SOME = Story.day, Story.some
HOLD_CHANGES = HoldChange.objects.filter(hold__job_hold__isnull=False)
VERBS: list[Callable[[Story], Any]] = [
    _do("keep_for_job", job=_job, on=ON, line=lambda story: story.stock.line, bunches=SOME),
    _do("keep_all_for_job", job=_job, on=ON),
    _do("free_from_job", job_hold=lambda story: story.of(story.job.holds), on=ON, bunches=SOME),
    _do("undo_kept", change=lambda story: story.of(HOLD_CHANGES.all())),
    _do("take_bunches_for", work=_job, on=ON, line=lambda story: story.stock.line, bunches=SOME),
    _do("take_stems_for", work=_job, on=ON, lot=lambda story: story.lot, stems=SOME),
    _do("undo_taken", taken=_any(Taken)),
    _do("bring_bunches_back", taken=_any(Taken), on=ON, bunches=SOME),
    _do("bring_stems_back", taken=_any(Taken), stems=SOME),
    _do("undo_came_back", came_back=_any(CameBack)),
    _do("take_deposit", job=_job, on=ON, amount=SOME), _do("give_back_deposit", job=_job, on=ON, amount=SOME),
    _do("undo_deposit", deposit=_any(Deposit)),
    _do(
        "plan_hire", job=_job, on=ON, item=lambda story: story.jar, quantity=lambda story: 2, first_day=lambda story: FIRST,
        last_day=lambda story: FIRST,
    ),
    _do("send_out", hire=_any(JobHire), on=ON, quantity=SOME), _do("undo_hire_out", hire_out=_any(HireOut)),
    _do("bring_hire_back", hire=_any(JobHire), on=ON, whole=SOME), _do("undo_hire_back", hire_back=_any(HireBack)),
    _do("cancel_job", job=_job, on=ON, kept=SOME), _do("undo_cancelling", job_cancelled=_any(JobCancelled)),
    _do("undo_cancelling", job_cancelled=_any(JobCancelled)),
    _do("do_job", job=_job, on=ON), _do("undo_job_done", job_done=_any(JobDone)), _do("undo_job_done", job_done=_any(JobDone)),
    _do("drop_piece", piece=_any(JobPiece)), lambda story: PieceFactory(job=story.job, on=FIRST),
    lambda story: write_off(
        by=story.by, on=story.day(), batch=story.stock.batch, box=story.stock.box, bunches=story.some(), reason="moths"
    ),
    lambda story: order_of(story.stock, story.some(), on=story.day()),
]


@pytest.mark.parametrize("seed", range(5))
def test_whatever_is_done_and_undone_agrees(owner: User, seed: int) -> None:
    """Forty draws: after each the rows of the job, the stock book and the running figures agree."""
    story = Story(owner, seed)
    for number in range(STEPS):
        story.step()
        assert [*job_differences(), *quantity_differences()] == [], f"after draw {number}"
    assert story.done


@pytest.mark.parametrize("seed", range(8, 11))
def test_an_invoiced_job_agrees_whatever_comes_after(owner: User, seed: int) -> None:
    """Twenty draws, then done and invoiced if it can be, then twenty more: deposits are never below nothing."""
    story = Story(owner, seed)
    for number in range(STEPS):
        if number == STEPS // 2:
            _finish(story)
        story.step()
        assert list(job_differences()) == [], f"after draw {number}"
    assert Payment.objects.filter(deposit_of=story.job).exists()


def _finish(story: Story) -> None:
    """Whatever became of it: it is to be, a piece and a deposit are there, it is done and invoiced."""
    for cancelled in JobCancelled.objects.standing():
        actions.undo_cancelling(by=story.by, job_cancelled=cancelled)
    for done in JobDone.objects.standing():
        actions.undo_job_done(by=story.by, job_done=done)
    PieceFactory(job=story.job, on=FIRST)
    actions.take_deposit(by=story.by, job=story.job, on=FIRST, amount=5)
    actions.do_job(by=story.by, job=story.job, on=FIRST + timedelta(20))
    actions.invoice_job(by=story.by, job=story.job, on=FIRST + timedelta(20))
