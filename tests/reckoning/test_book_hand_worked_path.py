"""The cost book's newer partings, worked by hand (money in whole units here, not millionths)."""

from dataclasses import replace
from datetime import date

import pytest

from ledger.reckoning.book import (
    BatchFact,
    HangingFact,
    LotFact,
    MovementFact,
    OddmentsFact,
    PartingFact,
    RunFact,
    total,
)
from tests.reckoning.test_book_hand_worked import (
    DAY,
    HANGING,
    KINDS,
    LOT,
    PLACE,
    PLANTING,
    RUN,
    checked,
    cost,
    facts,
    hung,
    place,
    planting,
    spent,
)

MOVED, OTHER_RUN = 50, 60
NEXT_DAY, LATER = date(2025, 7, 2), date(2025, 7, 9)


def lot_of(amount, partings, *, stems=100, values=None, **given):
    return facts(
        spending=[spent(LOT, amount)], plantings=[planting()], lots=[LotFact(LOT, PLANTING, DAY, stems, values or {})],
        partings=partings, **given,
    )


def test_lot_parted_by_the_values_kept_for_it():
    """200 on 60 sold fresh at 50 the hundred and 40 hung at 75: equal value, 100 each, though the stems are not."""
    partings = [PartingFact(1, LOT, DAY, "sold_fresh", 60), PartingFact(2, LOT, DAY, "hung", 40)]
    given = lot_of(200, partings, values={"sold_fresh": 50, "hung": 75}, hangings=[HangingFact(HANGING, 2, PLACE, DAY, 40, 1)])
    book = checked(given)

    assert (place(book, "cost of sales"), cost(book, "hanging", HANGING)) == (100, 100)


@pytest.mark.parametrize("values", [{"sold_fresh": 50}, {"sold_fresh": 50, "hung": 0}])
def test_lot_with_a_value_missing_or_nil_is_parted_by_stems(values):
    """A value for one way only, or of nothing, leaves the split to the stems."""
    partings = [PartingFact(1, LOT, DAY, "sold_fresh", 60), PartingFact(2, LOT, DAY, "hung", 40)]
    book = checked(lot_of(200, partings, values=values, hangings=[HangingFact(HANGING, 2, PLACE, DAY, 40, 1)]))

    assert place(book, "cost of sales") == 120


def test_stems_in_water_count_as_to_be_dried_in_a_split_by_value():
    """60 sold fresh at 50, 40 in water: they count at the value kept for hung ones, 75."""
    book = checked(lot_of(200, [PartingFact(1, LOT, DAY, "sold_fresh", 60)], values={"sold_fresh": 50, "hung": 75}))

    assert place(book, "in water") == 100


def moved(takings, *, stems, on=NEXT_DAY, more=(), cost_of_it=90):
    """A hanging of 100 at 90; `stems` of it moved to another place on a day."""
    given = hung(takings, cost_of_it=cost_of_it)
    return replace(
        given, kinds_of={**KINDS, MOVED: "hanging", MOVED + 1: "hanging"},
        hangings=[*given.hangings, HangingFact(MOVED, 1, PLACE, on, stems, 1, moved_from=HANGING), *more],
    )


def test_stems_moved_take_their_part_along():
    """Half of 100 moved: half the cost hangs in the other place."""
    book = checked(moved([], stems=50))

    assert (cost(book, "hanging", MOVED), place(book, "hanging")) == (45, 90)


def test_what_was_lost_before_a_move_is_borne_by_those_moved_too():
    """10 of 100 lost on the first day, then 45 of the 90 moved: half of all the cost goes along."""
    book = checked(moved([(DAY, 10, 0), (LATER, 45, 45)], stems=45))

    assert (cost(book, "hanging", MOVED), place(book, "loose")) == (45, 45)


def test_the_last_stems_moved_leave_nothing_behind():
    """40 lost, 60 moved: nothing stays, and nothing is written off."""
    book = checked(moved([(DAY, 40, 0)], stems=60))

    assert (cost(book, "hanging", MOVED), place(book, "written off")) == (90, 0)


def test_stems_moved_twice_bear_what_their_last_place_carries():
    """60 of 100 moved, 30 of them moved again: a third place carries 27 of 90."""
    again = HangingFact(MOVED + 1, 1, PLACE, LATER, 30, 1, moved_from=MOVED)
    book = checked(moved([], stems=60, more=[again]))

    assert (cost(book, "hanging", MOVED), cost(book, "hanging", MOVED + 1)) == (54, 27)


@pytest.mark.parametrize(("stems", "stay"), [(60, 0), (30, 30)])
def test_a_disaster_is_written_off_wherever_the_others_dried(stems, stay):
    """90.00 on 100, norm 10 %, 40 lost, marked: each of the 60 left bears 1.00, moved or not, and 30.00 is written off."""
    takings = [(DAY, 40, 0), *([(LATER, stay, stay)] if stay else [])]
    given = moved(takings, stems=stems, cost_of_it=9000)
    first, *others = given.hangings
    book = checked(replace(given, hangings=[replace(first, disaster_bp=1000), *others]))

    assert cost(book, "hanging", MOVED) == stems * 100
    assert (place(book, "loose"), place(book, "written off")) == (stay * 100, 3000)


def test_oddments_keep_their_worth_when_the_rest_is_moved():
    """10 lost of 100 at 90.00, kept for 2.00, the other 90 moved: they bear 88.00."""
    given = replace(moved([(DAY, 10, 0)], stems=90, cost_of_it=9000), oddments=[OddmentsFact(7, HANGING, DAY, 10, 200)])
    book = checked(given)

    assert (cost(book, "oddments", 7), cost(book, "hanging", MOVED)) == (200, 8800)


def kept(value, *, takings, **given):
    base = hung(takings, cost_of_it=1000, **given)
    return replace(base, oddments=[OddmentsFact(7, HANGING, DAY, 10, value)])


def test_oddments_kept_from_losses_carry_their_scrap_value():
    """Case 10: a hanging at 10.00 loses 10 of 100, kept as oddments worth 2.00: 90 sound bear 8.00."""
    book = checked(kept(200, takings=[(DAY, 100, 90)]))

    assert (cost(book, "oddments", 7), total(book.places["loose"])) == (200, 1000)


def test_oddments_are_never_worth_more_than_the_hanging_cost():
    """Worth 50.00 by the grower's guess, they carry the 10.00 there are."""
    book = checked(kept(5000, takings=[(DAY, 100, 90)]))

    assert cost(book, "oddments", 7) == 1000


def test_scrap_of_a_disaster_lessens_what_is_written_off():
    """10.00 on 100, norm 10 %, all lost but 50; 10 of the 50 kept for 1.00: 1.00 kept, the rest borne and written off."""
    book = checked(kept(100, takings=[(DAY, 100, 50)], disaster_bp=1000))
    loose = total(book.places["loose"])

    assert cost(book, "oddments", 7) == 100
    assert loose + place(book, "written off") == 1000
    assert loose - 100 == round((1000 - 100 * 10 / 50) / 90 * 50)


def bunched(*, inputs=(("hanging", HANGING, 30),), movements=(), runs=(), amount=90):
    given = hung([(DAY, 30, 30)], stems=30, cost_of_it=amount)
    run = RunFact(RUN, DAY, list(inputs), [BatchFact(8, 1, 3, 30)])
    made = MovementFact(100, DAY, 8, 3, "made")
    return replace(
        given, kinds_of={**KINDS, OTHER_RUN: "run"}, runs=[run, *runs], movements=[made, *movements],
        spending=[*given.spending, spent(OTHER_RUN, 6, number=9)],
    )


def test_split_bunches_carry_their_cost_into_the_smaller_ones():
    """Two of three tens at 30 each split into four fives, with 6 of work: 16.50 each."""
    split = RunFact(OTHER_RUN, LATER, [], [BatchFact(9, 2, 4, 20)])
    rows = [MovementFact(101, LATER, 8, -2, "made_up", run=OTHER_RUN), MovementFact(102, LATER, 9, 4, "made")]
    book = checked(bunched(movements=rows, runs=[split]))

    assert (total(book.batch_cost(9)), place(book, "boxed"), place(book, "made up")) == (66, 96, 0)


def test_a_run_entered_first_waits_for_the_one_it_draws_from():
    """Whatever the order of keys, a batch is made before it is used."""
    wreath = RunFact(OTHER_RUN, DAY, [], [BatchFact(9, 2, 1, 1)])
    rows = [MovementFact(101, DAY, 8, -1, "made_up", run=OTHER_RUN), MovementFact(102, DAY, 9, 1, "made")]
    given = bunched(movements=rows, runs=[wreath])
    book = checked(replace(given, runs=list(reversed(given.runs))))

    assert total(book.batch_cost(9)) == 36


def test_a_batch_made_of_itself_is_refused():
    """Two runs that each use the other's bunches cannot be."""
    other = RunFact(OTHER_RUN, DAY, [], [BatchFact(9, 2, 2, 10)])
    rows = [
        MovementFact(101, DAY, 8, -1, "made_up", run=OTHER_RUN), MovementFact(102, DAY, 9, 2, "made"),
        MovementFact(103, DAY, 9, -1, "made_up", run=RUN),
    ]
    with pytest.raises(ValueError):
        checked(bunched(movements=rows, runs=[other]))


def test_stems_cut_dry_go_straight_into_a_run():
    """60 of 100 cut-dry stems at 200 bunched: 120 in the run, 80 loose."""
    run = RunFact(RUN, DAY, [("parting", 1, 60)], [BatchFact(8, 1, 6, 60)])
    book = checked(
        lot_of(200, [PartingFact(1, LOT, DAY, "cut_dry", 100)], runs=[run], movements=[MovementFact(1, DAY, 8, 6, "made")])
    )

    assert (place(book, "boxed"), place(book, "loose")) == (120, 80)


def test_oddments_used_in_a_run_leave_the_loose():
    """5 of the 10 oddments at 200 go into craft bags: 100 in them, 100 loose besides the sound stems."""
    run = RunFact(RUN, DAY, [("oddments", 7, 5)], [BatchFact(8, 1, 1, 5)])
    given = replace(kept(200, takings=[(DAY, 100, 90)]), runs=[run], movements=[MovementFact(1, DAY, 8, 1, "made")])

    assert place(checked(given), "boxed") == 100


def test_fresh_stems_made_up_without_a_run_rest_as_made_up():
    """Their run undone or unknown, they are nowhere else."""
    assert place(checked(lot_of(200, [PartingFact(1, LOT, DAY, "made_up", 100)])), "made up") == 200


def test_a_provisional_figure_says_how_far_it_may_move():
    """300 spent of 500 planned, 500 stems expected, 20 cut: 20 now; 12 if all come unspent, 300 if none does."""
    given = facts(
        on=DAY, spending=[spent(PLANTING, 300_000_000)],
        plantings=[planting(cleared=None, expected={2025: (500, 500)})], lots=[LotFact(LOT, PLANTING, DAY, 20)],
    )
    book = checked(given)

    assert book.range_of(("lot", LOT)) == (12_000_000, 300_000_000)


def test_stems_still_up_may_all_come_down_or_none():
    """50 of 100 down sound, norm 10 %: now 50 of 95 parts of 90; between half of it and all."""
    book = checked(hung([(DAY, 50, 50)], norm_bp=1000, cost_of_it=9_500))
    run = RunFact(RUN, DAY, [("hanging", HANGING, 50)], [BatchFact(8, 1, 5, 50)])
    book = checked(replace(book.facts, runs=[run], movements=[MovementFact(1, DAY, 8, 5, "made")]))

    assert cost(book, "batch", 8) == 5_000
    assert book.range_of(("batch", 8)) == (4_750, 9_500)


def test_a_final_figure_does_not_move():
    """What is final is between itself and itself."""
    book = checked(hung([(DAY, 100, 80)]))

    assert book.range_of(("hanging", HANGING)) == (90_000_000, 90_000_000)


def test_a_line_rests_on_what_it_holds():
    """Two of three tens at 30 gone: the line holds one unit at 30, of its one batch."""
    held = checked(bunched(movements=[MovementFact(101, LATER, 8, -2, "sold")])).lines[1]

    assert (held.batches, held.units, total(held.amounts), held.final) == ([8], 1, 30, True)


def test_a_line_sold_out_rests_on_its_last_batch():
    """All sold, then one found: it still costs what the last batch cost for three."""
    rows = [MovementFact(101, LATER, 8, -3, "sold"), MovementFact(102, date(2025, 8, 1), 8, 1, "found")]
    held = checked(bunched(movements=rows)).lines[1]

    assert (held.batches, held.units, total(held.amounts)) == ([8], 3, 90)
