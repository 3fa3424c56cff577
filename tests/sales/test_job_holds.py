"""Bunches kept for a job, freed, and both undone."""

from datetime import date
from uuid import uuid4

import pytest
from django.core.exceptions import PermissionDenied
from django.db import connection
from django.test.utils import CaptureQueriesContext

from ledger.facts.models import CostKind, User
from ledger.sales import actions
from ledger.sales.actions import Part, free_from_job, keep_all_for_job, keep_for_job, undo_kept
from ledger.sales.models import Job, JobHold
from ledger.sales.queries.job_needs import needed_for
from ledger.stock.actions import Output, buy_in, fill_again, write_off
from ledger.stock.models import Balance, Hold, HoldChange
from tests.factories.drying import LotFactory
from tests.factories.jobs import AGREED, HELD, KEPT, OVER, JobFactory, PieceFactory, job_done, kept_for, piece_of
from tests.factories.made_up import MaterialFactory
from tests.factories.sales import Ready, order_of, ready
from tests.factories.stock import batch_of
from tests.refusals import refused

LATER = date(2024, 8, 25)


def kept(job_hold: JobHold) -> int:
    """What it keeps now."""
    return Hold.objects.with_kept().get(pk=JobHold.objects.get(pk=job_hold.pk).hold_id).kept


def short(job_hold: JobHold) -> int:
    """What it was left short of."""
    return Hold.objects.with_short().get(pk=job_hold.hold_id).short


def free(stock: Ready) -> int:
    """What nobody is promised."""
    return Balance.objects.get(line=stock.line).free


def last_change(job_hold: JobHold) -> HoldChange:
    """The latest change of its hold that stands."""
    return JobHold.objects.get(pk=job_hold.pk).hold.changes.standing().order_by("pk").last()


def of_2023(owner: User, stock: Ready, bunches: int) -> None:
    """So many more of the line, bought in the year before."""
    kind, made = CostKind.objects.get(code="plants"), [Output(stock.line, bunches)]
    buy_in(by=owner, on=date(2023, 8, 1), supplier="Sorrel Farm", outputs=made, net=100, tax=0, kind=kind)


def lose(owner: User, stock: Ready, bunches: int, on: date = LATER) -> None:
    """So many of the box are spoilt."""
    write_off(by=owner, on=on, batch=stock.batch, box=stock.box, bunches=bunches, reason="moths")


def test_bunches_are_kept_from_months_ahead(owner: User) -> None:
    """Of twenty, seven: the rest is left to others, more goes on the same hold."""
    stock, job = ready(20), JobFactory(held_on=date(2025, 6, 7))
    first = kept_for(job, stock, 7)
    assert (kept(first), free(stock), str(first.hold)) == (7, 13, f"{stock.line} kept for {job}")

    assert kept_for(job, stock, 3, on=LATER) == first
    assert (kept(first), free(stock), job.holds.count()) == (10, 10, 1)
    with refused("not_free"):
        order_of(stock, 11)


def test_no_more_are_kept_than_are_free_on_any_later_day(owner: User) -> None:
    """The last yes, one more no; bunches made later do not count before."""
    stock, job = ready(20), JobFactory()
    with refused("not_free"):
        kept_for(job, stock, 21)
    batch_of(stock.line, 5, on=LATER)
    with refused("not_free"):
        kept_for(job, stock, 21)
    assert kept(kept_for(job, stock, 21, on=LATER)) == 21
    for nothing in (0, -1):
        with refused("too_few"):
            kept_for(job, stock, nothing)


def test_nothing_is_kept_before_the_job_was_asked_about_nor_before_its_hold(owner: User) -> None:
    """Each day as it was."""
    stock, job = ready(20), JobFactory()
    with refused("too_early"):
        kept_for(job, stock, 1, on=date(2024, 8, 4))
    kept_for(job, stock, 1, on=KEPT)
    with refused("too_early"):
        kept_for(job, stock, 1, on=AGREED)


def test_what_was_kept_on_a_wrong_day_can_be_kept_anew_on_an_earlier_one(owner: User) -> None:
    """All undone, the next keeping begins a hold of its own; the empty one does not stand."""
    stock, job = ready(20), JobFactory()
    wrong = kept_for(job, stock, 5, on=LATER)
    undo_kept(by=owner, change=last_change(wrong))

    right = kept_for(job, stock, 6, on=AGREED)

    assert (right.pk, kept(right), Hold.objects.standing().count(), job.holds.count()) == (wrong.pk, 6, 1, 1)


def test_only_one_season_is_kept_where_asked(owner: User) -> None:
    """Bunches of another year do not do, and one hold keeps either."""
    stock, job = ready(20), JobFactory()
    with refused("not_of_season"):
        keep_for_job(by=owner, job=job, on=KEPT, line=stock.line, bunches=1, season=2023)
    made = keep_for_job(by=owner, job=job, on=KEPT, line=stock.line, bunches=5, season=2024)
    with refused("other_season"):
        kept_for(job, stock, 1)
    keep_for_job(by=owner, job=job, on=KEPT, line=stock.line, bunches=1, season=2024)
    assert (kept(made), made.hold.season) == (6, 2024)


def test_what_was_left_short_is_filled_first(owner: User) -> None:
    """Of eight kept three are gone: keeping four more fills three and promises one."""
    stock, job = ready(10), JobFactory()
    job_hold = kept_for(job, stock, 8)
    lose(owner, stock, 5)
    assert (kept(job_hold), short(job_hold)) == (5, 3)
    batch_of(stock.line, 10, on=LATER)

    kept_for(job, stock, 4, on=LATER)
    changes = list(job_hold.hold.changes.standing().order_by("pk").values_list("why", "bunches"))
    assert changes == [("promised", 8), ("short", -3), ("refilled", 3), ("promised", 1)]
    assert short(job_hold) == 0


def test_only_what_is_short_is_filled_where_no_more_is_asked_for(owner: User) -> None:
    """Three are short, three are kept: nothing more is promised."""
    stock, job = ready(10), JobFactory()
    job_hold = kept_for(job, stock, 8)
    lose(owner, stock, 5)
    batch_of(stock.line, 10, on=LATER)
    kept_for(job, stock, 3, on=LATER)
    assert (kept(job_hold), short(job_hold), last_change(job_hold).why) == (8, 0, "refilled")


def test_bunches_are_freed_and_the_freeing_undone(owner: User) -> None:
    """No more than are kept; undone unless others have them."""
    stock, job = ready(10), JobFactory()
    job_hold = kept_for(job, stock, 8)
    with refused("too_many"):
        free_from_job(by=owner, job_hold=job_hold, on=LATER, bunches=9)
    with refused("too_early"):
        free_from_job(by=owner, job_hold=job_hold, on=AGREED, bunches=1)
    free_from_job(by=owner, job_hold=job_hold, on=LATER, bunches=3)
    assert (kept(job_hold), free(stock)) == (5, 5)
    freed = last_change(job_hold)
    order = order_of(stock, 3)

    with refused("not_free"):
        undo_kept(by=owner, change=freed)
    actions.undo_order(by=owner, order=order)
    undo_kept(by=owner, change=freed)
    assert (kept(job_hold), free(stock)) == (8, 2)
    with refused("already_undone"):
        undo_kept(by=owner, change=freed)


def test_beyond_what_is_kept_nothing_more_is_owed(owner: User) -> None:
    """Of eight three are gone: six freed are the five kept and one of the three; undone one by one, the last first."""
    stock, job = ready(8), JobFactory()
    job_hold = kept_for(job, stock, 8)
    lose(owner, stock, 3)
    with refused("too_many"):
        free_from_job(by=owner, job_hold=job_hold, on=LATER, bunches=9)
    with refused("too_few"):
        free_from_job(by=owner, job_hold=job_hold, on=LATER, bunches=0)

    free_from_job(by=owner, job_hold=job_hold, on=LATER, bunches=6)
    assert (kept(job_hold), short(job_hold), free(stock)) == (0, 2, 5)
    released = list(job_hold.hold.changes.standing().filter(why="released").order_by("-pk"))
    undo_kept(by=owner, change=released[0])
    assert (kept(job_hold), short(job_hold)) == (0, 3)
    undo_kept(by=owner, change=released[1])
    assert (kept(job_hold), short(job_hold), free(stock)) == (5, 3, 0)


def test_what_was_owed_no_more_is_owed_again_though_nothing_is_there(owner: User) -> None:
    """All eight are gone and given up; undone, all eight are short."""
    stock, job = ready(8), JobFactory()
    job_hold = kept_for(job, stock, 8)
    lose(owner, stock, 8)
    free_from_job(by=owner, job_hold=job_hold, on=LATER, bunches=8)
    assert (kept(job_hold), short(job_hold)) == (0, 0)
    undo_kept(by=owner, change=job_hold.hold.changes.get(why="released"))
    assert (kept(job_hold), short(job_hold)) == (0, 8)


def test_a_freeing_undone_leaves_what_was_filled_again_since(owner: User) -> None:
    """Six kept and two short: two are freed, and two filled again the same day; undone, eight would be kept of six there."""
    stock, job = ready(10), JobFactory()
    job_hold = kept_for(job, stock, 8)
    lose(owner, stock, 4)
    free_from_job(by=owner, job_hold=job_hold, on=LATER, bunches=2)
    freed = last_change(job_hold)
    keep_for_job(by=owner, job=job, on=LATER, line=stock.line, bunches=2)

    with refused("not_free"):
        undo_kept(by=owner, change=freed)
    batch_of(stock.line, 2)
    undo_kept(by=owner, change=freed)
    assert (kept(job_hold), short(job_hold), free(stock)) == (8, 0, 0)


def test_a_keeping_that_was_freed_since_is_not_undone(owner: User) -> None:
    """The freeing first."""
    stock, job = ready(10), JobFactory()
    job_hold = kept_for(job, stock, 8)
    promised = last_change(job_hold)
    free_from_job(by=owner, job_hold=job_hold, on=LATER, bunches=8)
    freed = last_change(job_hold)
    with refused("too_many"):
        undo_kept(by=owner, change=promised)
    undo_kept(by=owner, change=freed)
    undo_kept(by=owner, change=promised)
    assert free(stock) == 10


def test_what_a_taking_or_the_end_changed_is_undone_with_those(owner: User) -> None:
    """Not by itself."""
    stock, job = ready(10), JobFactory()
    piece_of(job, stock, 35)
    job_hold = kept_for(job, stock, 7)
    actions.take_bunches_for(by=owner, work=job, on=HELD, line=stock.line, bunches=4)
    used = last_change(job_hold)
    job_done(job, on=OVER)
    let_go = last_change(job_hold)
    assert (used.bunches, let_go.bunches) == (-4, -3)
    for change in (used, let_go):
        with refused("part_of_more"):
            undo_kept(by=owner, change=change)


def test_what_was_freed_stays_free_when_the_job_is_over(owner: User) -> None:
    """Else bunches would lie there for it for ever; so does what a taking undone later gives back."""
    stock, job = ready(10), JobFactory()
    piece_of(job, stock, 35)
    job_hold = kept_for(job, stock, 8)
    free_from_job(by=owner, job_hold=job_hold, on=LATER, bunches=1)
    freed = last_change(job_hold)
    taken = actions.take_bunches_for(by=owner, work=job, on=HELD, line=stock.line, bunches=7)
    job_done(job, on=OVER)
    with refused("job_over"):
        undo_kept(by=owner, change=freed)
    actions.undo_taken(by=owner, taken=taken)
    assert (kept(job_hold), free(stock)) == (0, 10)


def test_nothing_is_kept_for_a_job_that_is_over(owner: User) -> None:
    """Neither one line nor what it needs."""
    stock, job = ready(10), JobFactory()
    piece_of(job, stock, 35)
    actions.cancel_job(by=owner, job=job, on=KEPT)
    with refused("job_over"):
        kept_for(job, stock, 1)
    with refused("job_over"):
        keep_all_for_job(by=owner, job=job, on=KEPT)


def test_all_that_the_pieces_need_is_kept_as_far_as_it_is_free(owner: User) -> None:
    """Two pieces of 23 stems and one of 5 want 51 stems: six bunches of ten; of the other line eight are wanted, three free."""
    first, second, job = ready(10), ready(3), JobFactory()
    piece_of(job, first, 23, quantity=2)
    piece_of(job, first, 5, quantity=1)
    piece_of(job, second, 40, quantity=2)

    made = keep_all_for_job(by=owner, job=job, on=KEPT)

    assert [(one.line, kept(one)) for one in made] == [(first.line, 6), (second.line, 3)]
    with refused("nothing_to_keep"):
        keep_all_for_job(by=owner, job=job, on=KEPT)


def test_all_or_nothing_is_kept_where_asked(owner: User) -> None:
    """Without what is free only, one line that lacks refuses all."""
    first, second, job = ready(10), ready(3), JobFactory()
    piece_of(job, first, 10)
    piece_of(job, second, 40)
    with refused("not_free"):
        keep_all_for_job(by=owner, job=job, on=KEPT, what_is_free=False)
    assert not job.holds.exists()
    batch_of(second.line, 5, on=KEPT)
    made = keep_all_for_job(by=owner, job=job, on=KEPT, what_is_free=False)
    assert [kept(one) for one in made] == [2, 8]


def test_of_a_line_kept_of_one_season_no_more_is_kept_than_that_season_has(owner: User) -> None:
    """Two are left of 2023, twenty of 2024 besides: two more are kept, and the other line's ten; none where none is left."""
    stock, other, job = ready(20), ready(10), JobFactory()
    of_2023(owner, stock, 6)
    piece_of(job, other, 50)
    piece_of(job, stock, 100, quantity=1)
    keep_for_job(by=owner, job=job, on=KEPT, line=stock.line, bunches=4, season=2023)
    assert [(one.what, one.free) for one in needed_for(job, KEPT)] == [(stock.line, 2), (other.line, 10)]

    made = keep_all_for_job(by=owner, job=job, on=KEPT)

    assert [(one.line, one.hold.season, kept(one)) for one in made] == [(stock.line, 2023, 6), (other.line, None, 10)]
    assert needed_for(job, KEPT)[0].free == 0
    with refused("nothing_to_keep"):
        keep_all_for_job(by=owner, job=job, on=KEPT)


def test_nothing_is_filled_again_for_a_job_that_is_over(owner: User) -> None:
    """Done or cancelled, its promise is no longer owed; of one going on what is short is filled."""
    for end in (job_done, lambda job: actions.cancel_job(by=owner, job=job, on=HELD)):
        stock, job = ready(10), JobFactory()
        piece_of(job, stock, 40)
        job_hold = kept_for(job, stock, 8)
        lose(owner, stock, 4)
        batch_of(stock.line, 5, on=HELD)
        fill_again(by=owner, hold=job_hold.hold, on=HELD, bunches=1)
        end(job)
        with refused("job_over"):
            fill_again(by=owner, hold=job_hold.hold, on=HELD, bunches=1)


def test_what_is_kept_and_taken_already_is_not_kept_again(owner: User) -> None:
    """Of seven needed two are taken, one came back, three kept: three more. The hold's season stays."""
    stock, job = ready(20), JobFactory()
    piece_of(job, stock, 35)
    keep_for_job(by=owner, job=job, on=KEPT, line=stock.line, bunches=5, season=2024)
    taken = actions.take_bunches_for(by=owner, work=job, on=LATER, line=stock.line, bunches=2)
    actions.bring_bunches_back(by=owner, taken=taken, on=LATER, bunches=1, box=stock.box)

    made, = keep_all_for_job(by=owner, job=job, on=LATER)
    assert (kept(made), made.hold.season) == (6, 2024)


def test_a_second_press_keeps_once(owner: User) -> None:
    """Of one line and of all."""
    stock, job = ready(20), JobFactory()
    piece_of(job, stock, 35)
    one = {"by": owner, "key": str(uuid4()), "job": job, "on": KEPT, "line": stock.line, "bunches": 3}
    assert keep_for_job(**one) == keep_for_job(**one)
    every = {"by": owner, "key": str(uuid4()), "job": job, "on": KEPT}
    assert keep_all_for_job(**every) == keep_all_for_job(**every)
    assert free(stock) == 13


@pytest.mark.parametrize("who", ["hand", "bookkeeper"])
def test_who_may_not_sell_keeps_and_frees_nothing(who: str, request: pytest.FixtureRequest, owner: User) -> None:
    """Promises are the seller's."""
    by, stock, job = request.getfixturevalue(who), ready(20), JobFactory()
    job_hold = kept_for(job, stock, 3)
    for verb in (
        lambda: keep_for_job(by=by, job=job, on=KEPT, line=stock.line, bunches=1),
        lambda: keep_all_for_job(by=by, job=job, on=KEPT),
        lambda: free_from_job(by=by, job_hold=job_hold, on=KEPT, bunches=1),
        lambda: undo_kept(by=by, change=last_change(job_hold)),
    ):
        with pytest.raises(PermissionDenied):
            verb()


def test_what_a_job_needs_is_said_thing_by_thing(owner: User) -> None:
    """Seven bunches wanted of 35 stems twice; twelve fresh stems twice; two rings of five; a candle twice."""
    stock, job, ring = ready(20), JobFactory(), MaterialFactory()
    lot = LotFactory(stems=30, on=date(2024, 7, 1))
    PieceFactory(job=job, quantity=2, parts=[
        Part(35, line=stock.line), Part(12, variety=lot.planting.variety), Part(1, material=ring),
        Part(1, bought="candle", cost=300),
    ])
    kept_for(job, stock, 5)
    taken = actions.take_bunches_for(by=owner, work=job, on=LATER, line=stock.line, bunches=4)
    actions.bring_bunches_back(by=owner, taken=taken, on=LATER, bunches=1, box=stock.box)
    actions.take_stems_for(by=owner, work=job, on=LATER, lot=lot, stems=10)

    line, fresh, material, bought = needed_for(job, LATER)

    assert (line.kind, line.needed, line.stems, line.kept, line.taken, line.back) == ("line", 7, 70, 1, 4, 1)
    assert (line.out, line.to_take, line.lacking, line.free, line.job_hold.line) == (3, 4, 3, 16, stock.line)
    assert (fresh.kind, fresh.needed, fresh.taken, fresh.to_take, fresh.free) == ("fresh", 24, 10, 14, 20)
    assert (material.what, material.needed, material.free, bought.what, bought.needed) == (ring, 2, 0, "candle", 2)


def test_what_is_needed_is_asked_in_a_fixed_number_of_statements(owner: User) -> None:
    """As many for four lines as for one."""
    asked = []
    for lines in (1, 4):
        job = JobFactory()
        for _ in range(lines):
            stock = ready(5)
            piece_of(job, stock, 10)
            kept_for(job, stock, 1)
        with CaptureQueriesContext(connection) as queries:
            assert len(needed_for(Job.objects.select_related("cost_object").get(pk=job.pk), KEPT)) == lines
        asked.append(len(queries))
    assert asked[0] == asked[1]
