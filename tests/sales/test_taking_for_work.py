"""Bunches and fresh stems taken for jobs and workshops, and brought back."""

from datetime import date, timedelta

import pytest
from django.core.exceptions import PermissionDenied
from django.utils import timezone

from ledger.books.actions import close_year
from ledger.facts.models import CostKind, User
from ledger.growing.actions import undo_parting
from ledger.growing.queries import stems_left_ever
from ledger.sales.actions import (
    bring_bunches_back,
    bring_stems_back,
    call_off,
    cancel_job,
    keep_for_job,
    take_bunches_for,
    take_stems_for,
    undo_came_back,
    undo_cancelling,
    undo_job_done,
    undo_taken,
)
from ledger.sales.models import Taken
from ledger.sales.queries.taken import bunches_out
from ledger.stock.actions import Output, buy_in, hold, undo_movement, write_off
from ledger.stock.models import Balance, Hold, Movement
from tests.factories.drying import LotFactory
from tests.factories.jobs import HELD, JobFactory, PieceFactory, job_done, kept_for
from tests.factories.sales import Ready, line_of, order_of, packed, ready
from tests.factories.stock import BoxFactory, batch_of, there
from tests.factories.workshops import HELD as WORKSHOP_HELD
from tests.factories.workshops import WorkshopFactory
from tests.refusals import refused

BACK = date(2024, 9, 16)


def figures(stock: Ready) -> tuple[int, int]:
    """On hand and held of the one line."""
    balance = Balance.objects.get(line=stock.line)
    return balance.on_hand, balance.held


def test_bunches_leave_as_sold_the_oldest_first(owner: User) -> None:
    """Four bunches for a wedding: two of the older batch, two of the younger, each row of the book kept with the taking."""
    stock = ready(20)
    older = batch_of(stock.line, 2, on=date(2024, 7, 25))

    taken = take_bunches_for(by=owner, work=JobFactory(), on=HELD, line=stock.line, bunches=4)

    rows = taken.rows.values_list("movement__batch", "movement__bunches", "movement__kind", "movement__on")
    assert list(rows) == [(older.pk, -2, "sold", HELD), (stock.batch.pk, -2, "sold", HELD)]
    assert (taken.quantity, taken.used, figures(stock)) == (4, None, (18, 0))


def test_bunches_for_a_workshop(owner: User) -> None:
    """A workshop takes from the box and batch named."""
    stock = ready(20)
    workshop = WorkshopFactory()

    taken = take_bunches_for(
        by=owner, work=workshop, on=WORKSHOP_HELD, line=stock.line, bunches=5, box=stock.box, batch=stock.batch
    )

    assert (taken.workshop, taken.work, there(stock.batch)) == (workshop, workshop, [(stock.box.code, 15)])


def test_what_a_job_kept_is_used_first(owner: User) -> None:
    """Of ten kept six are taken: four are still kept, fourteen are on hand."""
    stock, job = ready(20), JobFactory()
    kept_for(job, stock, 10)

    taken = take_bunches_for(by=owner, work=job, on=HELD, line=stock.line, bunches=6)

    assert taken.used is not None and taken.used.bunches == -6
    assert figures(stock) == (14, 4)


def test_what_was_kept_of_one_season_is_taken_of_that_season(owner: User) -> None:
    """Three kept of 2024 go though those of 2023 are older; a fourth is of 2023."""
    stock, job = ready(3), JobFactory()
    kind = CostKind.objects.get(code="plants")
    bought = buy_in(
        by=owner, on=date(2023, 8, 1), supplier="Sorrel Farm", outputs=[Output(stock.line, 5)], net=100, tax=0, kind=kind
    )
    older = bought.batches.get()
    keep_for_job(by=owner, job=job, on=date(2024, 8, 20), line=stock.line, bunches=3, season=2024)

    three = take_bunches_for(by=owner, work=job, on=HELD, line=stock.line, bunches=3)
    fourth = take_bunches_for(by=owner, work=job, on=HELD, line=stock.line, bunches=1)

    assert [row.movement.batch for row in (*three.rows.all(), *fourth.rows.all())] == [stock.batch, older]
    undo_taken(by=owner, taken=three)
    again = take_bunches_for(by=owner, work=job, on=HELD, line=stock.line, bunches=5)
    assert list(again.rows.values_list("movement__batch", "movement__bunches")) == [(stock.batch.pk, -3), (older.pk, -2)]


def test_more_than_was_kept_takes_free_ones(owner: User) -> None:
    """Thirteen taken of ten kept and twenty there: nothing is kept, seven are free."""
    stock, job = ready(20), JobFactory()
    kept_for(job, stock, 10)

    take_bunches_for(by=owner, work=job, on=HELD, line=stock.line, bunches=13)

    assert figures(stock) == (7, 0)


def test_another_jobs_bunches_are_left_alone_while_there_are_free_ones(owner: User) -> None:
    """A taking uses only the hold of its own job."""
    stock, job, other = ready(20), JobFactory(), JobFactory()
    kept = kept_for(other, stock, 10)

    taken = take_bunches_for(by=owner, work=job, on=HELD, line=stock.line, bunches=6)

    assert taken.used is None and figures(stock) == (14, 10)
    assert Hold.objects.with_kept().get(pk=kept.hold_id).kept == 10


def test_promised_bunches_go_too_and_the_promise_is_short(owner: User) -> None:
    """It happened: five of eighteen promised to a florist are taken, and the order is short by three."""
    stock, job = ready(20), JobFactory()
    order = order_of(stock, 18)

    taken = take_bunches_for(by=owner, work=job, on=HELD, line=stock.line, bunches=5)

    assert (figures(stock), line_of(order).short) == ((15, 15), 3)
    undo_taken(by=owner, taken=taken)
    assert (figures(stock), line_of(order).short) == ((20, 18), 0)


def test_beyond_the_record_is_found_to_be_checked(owner: User) -> None:
    """Seven taken of four there: three are found first, to be checked; undoing takes them out again."""
    stock = ready(4)

    taken = take_bunches_for(by=owner, work=JobFactory(), on=HELD, line=stock.line, bunches=7)

    found = Movement.objects.standing().get(kind="found")
    assert (found.bunches, found.to_check, figures(stock)) == (3, True, (0, 0))
    undo_taken(by=owner, taken=taken)
    assert (figures(stock), Movement.objects.standing().filter(kind="found").count()) == ((4, 0), 0)


def test_promised_beyond_the_record(owner: User) -> None:
    """Twenty-five for a job that kept twelve, eight promised elsewhere, twenty there: all is gone and the eight are short."""
    stock, job = ready(20), JobFactory()
    order = order_of(stock, 8)
    kept_for(job, stock, 12, on=date(2024, 9, 2))

    taken = take_bunches_for(by=owner, work=job, on=HELD, line=stock.line, bunches=25)

    assert (figures(stock), line_of(order).short) == ((0, 0), 8)
    undo_taken(by=owner, taken=taken)
    assert (figures(stock), line_of(order).short) == ((20, 20), 0)


def test_a_line_never_bunched_is_refused(owner: User) -> None:
    """Nothing can be found of a line of which no bunch was made by that day."""
    stock = ready(20, on=date(2024, 9, 20))
    with refused("no_batch"):
        take_bunches_for(by=owner, work=JobFactory(), on=HELD, line=stock.line, bunches=1)


@pytest.mark.parametrize("bunches", [0, -1, 100_001])
def test_absurd_numbers_are_refused(owner: User, bunches: int) -> None:
    """Nothing, less and far too much."""
    stock, job, lot = ready(20), JobFactory(), LotFactory()
    with refused("absurd"):
        take_bunches_for(by=owner, work=job, on=HELD, line=stock.line, bunches=bunches)
    with refused("absurd"):
        take_stems_for(by=owner, work=job, on=HELD, lot=lot, stems=bunches)


def test_a_parcel_is_refused(owner: User) -> None:
    """What is packed for a florist is not taken out of the parcel, and nothing comes back into one."""
    stock, job = ready(20), JobFactory()
    parcel = packed(order_of(stock, 5), stock, 5).parcel.box

    with refused("parcel"):
        take_bunches_for(by=owner, work=job, on=HELD, line=stock.line, bunches=1, box=parcel)
    taken = take_bunches_for(by=owner, work=job, on=HELD, line=stock.line, bunches=1)
    with refused("parcel"):
        bring_bunches_back(by=owner, taken=taken, on=BACK, bunches=1, box=parcel)


def test_a_taking_is_not_before_the_work_was_entered(owner: User) -> None:
    """Not a day before the job was asked about or the workshop offered; on the day itself it is."""
    stock, job, workshop = ready(20, on=date(2024, 7, 20)), JobFactory(), WorkshopFactory()

    for work in (job, workshop):
        with refused("too_early"):
            take_bunches_for(by=owner, work=work, on=work.on - timedelta(1), line=stock.line, bunches=1)
        take_bunches_for(by=owner, work=work, on=work.on, line=stock.line, bunches=1)


def test_a_taking_is_not_on_a_day_to_come(owner: User) -> None:
    """What has not happened cannot be entered."""
    stock, job = ready(20), JobFactory()
    with refused("not_yet"):
        take_bunches_for(by=owner, work=job, on=timezone.now().date() + timedelta(2), line=stock.line, bunches=1)


def test_nothing_is_taken_once_it_is_off(owner: User) -> None:
    """A cancelled job and a workshop called off take nothing more; what was taken can still come back."""
    stock, job, workshop, lot = ready(20), JobFactory(), WorkshopFactory(), LotFactory(stems=50)
    taken = take_bunches_for(by=owner, work=job, on=date(2024, 9, 1), line=stock.line, bunches=3)
    fresh = take_stems_for(by=owner, work=job, on=date(2024, 9, 1), lot=lot, stems=20)
    cancel_job(by=owner, job=job, on=date(2024, 9, 2))
    call_off(by=owner, workshop=workshop, on=date(2024, 10, 2))

    with refused("job_over"):
        take_bunches_for(by=owner, work=job, on=HELD, line=stock.line, bunches=1)
    with refused("called_off"):
        take_stems_for(by=owner, work=workshop, on=date(2024, 10, 3), lot=lot, stems=1)
    bring_bunches_back(by=owner, taken=taken, on=BACK, bunches=3, box=stock.box)
    bring_stems_back(by=owner, taken=fresh, stems=5)
    assert (figures(stock), stems_left_ever(lot)) == ((20, 0), 35)


def test_a_forgotten_taking_is_entered_after_the_job_is_done(owner: User) -> None:
    """The job being done refuses nothing that happened."""
    stock, job = ready(20), JobFactory()
    PieceFactory(job=job)
    job_done(job)

    assert take_bunches_for(by=owner, work=job, on=HELD, line=stock.line, bunches=2).quantity == 2


def test_a_taking_before_the_keeping_uses_it_from_the_keepings_day_on(owner: User) -> None:
    """Kept on 20 August, taken on the 10th and entered late: the ten kept are four from the 20th on."""
    stock, job = ready(20), JobFactory()
    kept_for(job, stock, 10, on=date(2024, 8, 20))

    taken = take_bunches_for(by=owner, work=job, on=date(2024, 8, 10), line=stock.line, bunches=6)

    assert taken.used is not None and (taken.used.on, taken.used.bunches) == (date(2024, 8, 20), -6)
    assert figures(stock) == (14, 4)


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


def test_pressed_twice_it_is_taken_once(owner: User) -> None:
    """The second press of a form gives the first result."""
    stock, job = ready(20), JobFactory()
    given = {"by": owner, "work": job, "on": HELD, "line": stock.line, "bunches": 4, "key": "a-key"}

    assert take_bunches_for(**given) == take_bunches_for(**given)

    taken = Taken.objects.get()
    back = {"by": owner, "taken": taken, "on": BACK, "bunches": 3, "key": "another-key"}
    assert bring_bunches_back(**back) == bring_bunches_back(**back)
    assert (figures(stock), bunches_out(taken)) == ((19, 0), 1)


def test_who_may(owner: User, hand: User, bookkeeper: User) -> None:
    """Hands take and bring back; a bookkeeper does not."""
    stock, job = ready(20), JobFactory()
    taken = take_bunches_for(by=hand, work=job, on=HELD, line=stock.line, bunches=4)
    bring_bunches_back(by=hand, taken=taken, on=BACK, bunches=1)

    with pytest.raises(PermissionDenied):
        take_bunches_for(by=bookkeeper, work=job, on=HELD, line=stock.line, bunches=1)
    with pytest.raises(PermissionDenied):
        bring_bunches_back(by=bookkeeper, taken=taken, on=BACK, bunches=1)


def test_a_closed_day_is_closed(owner: User) -> None:
    """Nothing is taken on a day of closed books, and nothing taken then is undone."""
    stock, job = ready(20), JobFactory()
    taken = take_bunches_for(by=owner, work=job, on=date(2024, 12, 31), line=stock.line, bunches=4)
    close_year(by=owner, on=date(2024, 12, 31))

    with refused("closed"):
        take_bunches_for(by=owner, work=job, on=date(2024, 12, 31), line=stock.line, bunches=1)
    with refused("closed"):
        undo_taken(by=owner, taken=taken)
    bring_bunches_back(by=owner, taken=taken, on=date(2025, 1, 1), bunches=1)
