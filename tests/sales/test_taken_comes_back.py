"""What was taken for a job or a workshop: undone, brought back, and fresh stems of it."""

from datetime import date, timedelta

import pytest

from ledger.facts.models import User
from ledger.growing.actions import undo_parting
from ledger.growing.queries import stems_left_ever
from ledger.sales.actions import (
    bring_bunches_back,
    bring_stems_back,
    cancel_job,
    take_bunches_for,
    take_stems_for,
    undo_came_back,
    undo_cancelling,
    undo_job_done,
    undo_taken,
)
from ledger.sales.models import Taken
from ledger.sales.queries.taken import bunches_out
from ledger.stock.actions import hold, undo_movement, write_off
from ledger.stock.models import Hold
from tests.factories.drying import LotFactory
from tests.factories.jobs import HELD, JobFactory, PieceFactory, job_done, kept_for
from tests.factories.sales import figures, ready
from tests.factories.stock import BoxFactory, batch_of, there
from tests.refusals import refused

BACK = date(2024, 9, 16)


def test_undoing_keeps_the_bunches_again(owner: User) -> None:
    """All is as it was: in the box, and kept for the job."""
    stock, job = ready(20), JobFactory()
    kept_for(job, stock, 10)
    taken = take_bunches_for(by=owner, work=job, on=HELD, line=stock.line, bunches=12, box=stock.box)

    undone = undo_taken(by=owner, taken=taken)

    assert (figures(stock), there(stock.batch)) == ((20, 10), [(stock.box.code, 20)])
    with refused("already_undone"):
        undo_taken(by=owner, taken=undone)


def test_takings_are_undone_in_any_order(owner: User) -> None:
    """Two takings of one hold, the first undone first: each gives back just what it used."""
    stock, job = ready(20), JobFactory()
    kept_for(job, stock, 10)
    first = take_bunches_for(by=owner, work=job, on=HELD, line=stock.line, bunches=6)
    second = take_bunches_for(by=owner, work=job, on=BACK, line=stock.line, bunches=6)

    undo_taken(by=owner, taken=first)
    assert figures(stock) == (14, 6)
    undo_taken(by=owner, taken=second)
    assert figures(stock) == (20, 10)


def test_a_short_hold_is_owed_again(owner: User) -> None:
    """Of ten kept four were left short; eight taken settle two of those, and undoing owes them again."""
    stock, job = ready(10), JobFactory()
    kept = kept_for(job, stock, 10)
    gone = take_bunches_for(by=owner, work=JobFactory(), on=date(2024, 9, 1), line=stock.line, bunches=4)
    batch_of(stock.line, 5, on=date(2024, 9, 2))

    taken = take_bunches_for(by=owner, work=job, on=HELD, line=stock.line, bunches=8)

    assert Hold.objects.with_kept().with_short().filter(pk=kept.hold_id).values_list("kept", "short").get() == (0, 2)
    undo_taken(by=owner, taken=taken)
    assert Hold.objects.with_kept().with_short().filter(pk=kept.hold_id).values_list("kept", "short").get() == (6, 4)
    undo_taken(by=owner, taken=gone)
    assert Hold.objects.with_kept().with_short().filter(pk=kept.hold_id).values_list("kept", "short").get() == (10, 0)


@pytest.mark.parametrize("ended", ["done", "cancelled"])
def test_undone_after_the_end_nothing_is_kept_for_it_again(owner: User, ended: str) -> None:
    """A job that is over keeps nothing: what a taking had used is free when it is undone."""
    stock, job = ready(20), JobFactory()
    PieceFactory(job=job)
    kept_for(job, stock, 10)
    taken = take_bunches_for(by=owner, work=job, on=HELD, line=stock.line, bunches=6)
    if ended == "done":
        job_done(job)
    else:
        cancel_job(by=owner, job=job, on=HELD)

    undo_taken(by=owner, taken=taken)

    assert figures(stock) == (20, 0)


@pytest.mark.parametrize("ended", ["done", "cancelled"])
def test_undone_after_the_end_nothing_is_owed_to_it_again(owner: User, ended: str) -> None:
    """Two kept and two short were all taken; undone after the end, it keeps none and is short of none, but for the end."""
    stock, job = ready(10), JobFactory()
    PieceFactory(job=job)
    kept = kept_for(job, stock, 4)
    write_off(by=owner, on=HELD, batch=stock.batch, box=stock.box, bunches=8, reason="moths")
    taken = take_bunches_for(by=owner, work=job, on=HELD, line=stock.line, bunches=4)
    end = job_done(job) if ended == "done" else cancel_job(by=owner, job=job, on=HELD)

    undo_taken(by=owner, taken=taken)
    holds = Hold.objects.with_kept().with_short().values_list("kept", "short")
    assert holds.get(pk=kept.hold_id) == (0, 0)
    if ended == "done":
        undo_job_done(by=owner, job_done=end)
    else:
        undo_cancelling(by=owner, job_cancelled=end)
    assert holds.get(pk=kept.hold_id) == (2, 2)


def test_what_came_back_and_is_promised_since_is_not_taken_again(owner: User) -> None:
    """Eight of ten came back and are promised to a florist: neither the coming back nor the taking is undone."""
    stock, job = ready(10), JobFactory()
    kept_for(job, stock, 10)
    taken = take_bunches_for(by=owner, work=job, on=HELD, line=stock.line, bunches=8)
    back = bring_bunches_back(by=owner, taken=taken, on=BACK, bunches=8)
    hold(by=owner, on=BACK, line=stock.line, bunches=8, for_what="a florist")

    with refused("not_free"):
        undo_came_back(by=owner, came_back=back)
    with refused("rested_on"):
        undo_taken(by=owner, taken=taken)


def test_bunches_come_back_the_last_taken_first(owner: User) -> None:
    """Two of the old batch and two of the new were taken; three back are the two new ones and one old one."""
    stock, box = ready(20), BoxFactory()
    older = batch_of(stock.line, 2, on=date(2024, 7, 25))
    taken = take_bunches_for(by=owner, work=JobFactory(), on=HELD, line=stock.line, bunches=4)

    back = bring_bunches_back(by=owner, taken=taken, on=BACK, bunches=3, box=box)

    rows = back.rows.values_list("movement__batch", "movement__bunches", "movement__kind", "movement__box")
    assert list(rows) == [(stock.batch.pk, 2, "returned", box.pk), (older.pk, 1, "returned", box.pk)]
    assert (bunches_out(taken), figures(stock)) == (1, (21, 0))


def test_no_more_comes_back_than_is_out(owner: User) -> None:
    """Of four taken three came back: one more, not two."""
    stock = ready(20)
    taken = take_bunches_for(by=owner, work=JobFactory(), on=HELD, line=stock.line, bunches=4)
    bring_bunches_back(by=owner, taken=taken, on=BACK, bunches=3)

    with refused("too_many"):
        bring_bunches_back(by=owner, taken=taken, on=BACK, bunches=2)
    with refused("absurd"):
        bring_bunches_back(by=owner, taken=taken, on=BACK, bunches=0)
    with refused("too_early"):
        bring_bunches_back(by=owner, taken=taken, on=HELD - timedelta(1), bunches=1)
    bring_bunches_back(by=owner, taken=taken, on=HELD, bunches=1)
    assert bunches_out(taken) == 0


def test_a_coming_back_undone_is_out_again(owner: User) -> None:
    """The taking can be undone only after it."""
    stock = ready(20)
    taken = take_bunches_for(by=owner, work=JobFactory(), on=HELD, line=stock.line, bunches=4)
    first = bring_bunches_back(by=owner, taken=taken, on=BACK, bunches=1)
    second = bring_bunches_back(by=owner, taken=taken, on=BACK, bunches=3, box=stock.box)

    undo_came_back(by=owner, came_back=first)
    assert (bunches_out(taken), figures(stock)) == (1, (19, 0))
    with refused("rested_on"):
        undo_taken(by=owner, taken=taken)
    undo_came_back(by=owner, came_back=second)
    undo_taken(by=owner, taken=taken)
    assert figures(stock) == (20, 0)


def test_rows_of_a_taking_are_not_undone_one_by_one(owner: User) -> None:
    """Neither what went nor what came back, nor the stems that left a lot."""
    stock, job, lot = ready(20), JobFactory(), LotFactory(stems=50)
    taken = take_bunches_for(by=owner, work=job, on=HELD, line=stock.line, bunches=4)
    fresh = take_stems_for(by=owner, work=job, on=HELD, lot=lot, stems=5)
    assert fresh.parting is not None
    with refused("rested_on"):
        undo_movement(by=owner, movement=taken.rows.get().movement)
    back = bring_bunches_back(by=owner, taken=taken, on=BACK, bunches=4)

    with refused("rested_on"):
        undo_movement(by=owner, movement=back.rows.get().movement)
    with refused("rested_on"):
        undo_parting(by=owner, parting=fresh.parting)


def test_fresh_stems_leave_their_lot(owner: User) -> None:
    """Thirty of a hundred stems, as sold fresh; undoing puts them in water again."""
    lot, job = LotFactory(stems=100), JobFactory()

    taken = take_stems_for(by=owner, work=job, on=HELD, lot=lot, stems=30)

    assert taken.parting is not None
    assert (taken.parting.way, taken.parting.stems, taken.quantity, stems_left_ever(lot)) == ("sold_fresh", 30, 30, 70)
    with refused("too_many"):
        take_stems_for(by=owner, work=job, on=HELD, lot=lot, stems=71)
    undo_taken(by=owner, taken=taken)
    assert stems_left_ever(lot) == 100


def test_stems_that_come_back_leave_a_taking_of_fewer(owner: User) -> None:
    """Twelve of thirty come back: a taking of eighteen replaces it, on the same day."""
    lot = LotFactory(stems=100)
    taken = take_stems_for(by=owner, work=JobFactory(), on=HELD, lot=lot, stems=30)

    anew = bring_stems_back(by=owner, taken=taken, stems=12)

    assert (anew.quantity, anew.on, anew.replaces, stems_left_ever(lot)) == (18, HELD, taken, 82)
    assert list(Taken.objects.standing()) == [anew]
    with refused("too_many"):
        bring_stems_back(by=owner, taken=anew, stems=19)
    with refused("undone"):
        bring_stems_back(by=owner, taken=taken, stems=1)


def test_all_stems_back_is_an_undoing(owner: User) -> None:
    """Nothing is left of the taking."""
    lot = LotFactory(stems=100)
    taken = take_stems_for(by=owner, work=JobFactory(), on=HELD, lot=lot, stems=30)

    assert not bring_stems_back(by=owner, taken=taken, stems=30).stands
    assert stems_left_ever(lot) == 100


def test_stems_and_bunches_come_back_each_in_their_own_way(owner: User) -> None:
    """Bunches go into a box, stems into water."""
    stock, job, lot = ready(20), JobFactory(), LotFactory(stems=50)
    dried = take_bunches_for(by=owner, work=job, on=HELD, line=stock.line, bunches=4)
    fresh = take_stems_for(by=owner, work=job, on=HELD, lot=lot, stems=5)

    with refused("fresh"):
        bring_bunches_back(by=owner, taken=fresh, on=BACK, bunches=1)
    with refused("dried"):
        bring_stems_back(by=owner, taken=dried, stems=1)
