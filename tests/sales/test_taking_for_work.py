"""Bunches and fresh stems taken for jobs and workshops: what goes, what is refused."""

from datetime import date, timedelta

import pytest
from django.core.exceptions import PermissionDenied
from django.utils import timezone

from ledger.books.actions import close_year
from ledger.facts.models import CostKind, User
from ledger.growing.queries import stems_left_ever
from ledger.sales.actions import (
    bring_bunches_back,
    bring_stems_back,
    call_off,
    cancel_job,
    keep_for_job,
    take_bunches_for,
    take_stems_for,
    undo_taken,
)
from ledger.sales.models import Taken
from ledger.sales.queries.taken import bunches_out
from ledger.stock.actions import Output, buy_in
from ledger.stock.models import Hold, Movement
from tests.factories.drying import LotFactory
from tests.factories.jobs import HELD, JobFactory, PieceFactory, job_done, kept_for
from tests.factories.sales import figures, line_of, order_of, packed, ready
from tests.factories.stock import batch_of, there
from tests.factories.workshops import HELD as WORKSHOP_HELD
from tests.factories.workshops import WorkshopFactory
from tests.refusals import refused

BACK = date(2024, 9, 16)


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
