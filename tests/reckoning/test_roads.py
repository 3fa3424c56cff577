"""By which road a bunch's cost came, and what share of the stems was lost on it, worked by hand."""

from dataclasses import replace
from fractions import Fraction

import pytest

from ledger.reckoning.book import BatchFact, HangingFact, LotFact, MovementFact, OddmentsFact, PartingFact, RunFact, make_book
from ledger.reckoning.roads import borne_by
from ledger.reckoning.what_if import Part
from tests.reckoning.test_book_hand_worked import DAY, HANGING, LOT, PLACE, PLANTING, RUN, hung, spent
from tests.reckoning.test_book_hand_worked_path import LATER, MOVED, OTHER_RUN, bunched, lot_of, moved

DRYING, BUNCHING = ("drying", "inputs"), ("bunching", "inputs")
MADE = MovementFact(100, DAY, 8, 3, "made")


def borne(given, line=1):
    return borne_by(make_book(given), line)


def of_hanging(takings, **given):
    """30 of its stems bunched into three."""
    run = RunFact(RUN, DAY, [("hanging", HANGING, 30)], [BatchFact(8, 1, 3, 30)])
    return replace(hung(takings, **given), runs=[run], movements=[MADE])


def test_what_was_spent_on_the_run_is_told_from_what_came_with_the_stems():
    """90 on a hanging of 30 and 6 on its run of three: 30 and 2 a bunch, all its stems hung, none lost."""
    given = bunched()
    found = borne(replace(given, spending=[*given.spending, spent(RUN, 6, number=2)]))

    assert set(found.parts) == {Part(DRYING, "hung", 30), Part(BUNCHING, "own", 2)}
    assert (found.made, found.hung, found.lost, found.of_stems) == (3, 1, 0, True)


def test_a_line_never_made_bears_nothing_that_is_known():
    """No batch, no answer."""
    assert borne(bunched(), line=99) is None


@pytest.mark.parametrize(("takings", "given", "lost"), [
    ([(DAY, 100, 80)], {"norm_bp": 1000}, Fraction(1, 5)),
    ([(DAY, 40, 30)], {"norm_bp": 1000}, 1 - Fraction(30 * 10 + 60 * 9, 1000)),
    ([(DAY, 100, 50)], {"disaster_bp": 1000}, Fraction(1, 10)),
    ([(DAY, 100, 95)], {"disaster_bp": 1000}, Fraction(1, 20)),
])
def test_the_loss_is_what_the_sound_stems_bear(takings, given, lost):
    """20 of 100 lost; while 60 are up their norm counts; of a disaster the norm, of one that did better what it lost."""
    assert borne(of_hanging(takings, **given)).lost == lost


@pytest.mark.parametrize("disaster", [None, 2000])
def test_stems_moved_lost_some_before_they_went(disaster):
    """20 of 100 lost, then 40 moved and 10 of those lost: of each first put up 0.8 x 0.75 are bunched."""
    given = moved([(DAY, 20, 0)], stems=40)
    first, second = given.hangings
    hangings = [replace(first, disaster_bp=disaster), replace(second, takings=[(LATER, 40, 30)])]
    run = RunFact(RUN, LATER, [("hanging", MOVED, 30)], [BatchFact(8, 1, 3, 30)])
    found = borne(replace(given, hangings=hangings, runs=[run], movements=[replace(MADE, on=LATER)]))

    assert found.lost == 1 - Fraction(8, 10) * Fraction(3, 4)


def test_stems_moved_twice_lost_some_at_each_place():
    """A tenth lost at the first place, a tenth at the second, none at the third."""
    again = HangingFact(MOVED + 1, 1, PLACE, LATER, 50, 1, moved_from=MOVED, takings=[(LATER, 50, 50)])
    given = moved([(DAY, 10, 0)], stems=90, more=[again])
    first, second, third = given.hangings
    run = RunFact(RUN, LATER, [("hanging", MOVED + 1, 50)], [BatchFact(8, 1, 5, 50)])
    hangings = [first, replace(second, takings=[(LATER, 9, 0)]), third]
    found = borne(replace(given, hangings=hangings, runs=[run], movements=[MovementFact(1, LATER, 8, 5, "made")]))

    assert found.lost == 1 - Fraction(9, 10) * Fraction(81, 90)


def test_stems_cut_dry_never_hung():
    """60 of 100 cut dry at 200 make six: 20 each, by no hanging."""
    run = RunFact(RUN, DAY, [("parting", 1, 60)], [BatchFact(8, 1, 6, 60)])
    parting = PartingFact(1, LOT, DAY, "cut_dry", 100)
    found = borne(lot_of(200, [parting], runs=[run], movements=[MovementFact(1, DAY, 8, 6, "made")]))

    assert found.parts == (Part(("cutting", "inputs"), "stems", 20),)
    assert (found.hung, found.lost) == (0, None)


def test_hung_and_dry_in_one_run_are_told_apart_by_element_and_number():
    """30 hung of which a quarter was lost before, 10 cut dry: three quarters of the stems hung."""
    given = of_hanging([(DAY, 100, 75)])
    dry = RunFact(RUN, DAY, [("hanging", HANGING, 30), ("parting", 2, 10)], [BatchFact(8, 1, 4, 40)])
    lots = [*given.lots, LotFact(LOT + 40, PLANTING, DAY, 10)]
    partings = [*given.partings, PartingFact(2, LOT + 40, DAY, "cut_dry", 10)]
    movements = [MovementFact(1, DAY, 8, 4, "made")]
    found = borne(replace(given, lots=lots, partings=partings, runs=[dry], movements=movements))

    assert (found.hung, found.lost) == (Fraction(3, 4), Fraction(1, 4))


def test_oddments_come_at_what_they_are_worth():
    """5 of 10 oddments worth 200 go into one bag."""
    run = RunFact(RUN, DAY, [("oddments", 7, 5)], [BatchFact(8, 1, 1, 5)])
    given = replace(hung([(DAY, 100, 90)], cost_of_it=1000), oddments=[OddmentsFact(7, HANGING, DAY, 10, 200)], runs=[run])
    found = borne(replace(given, movements=[MovementFact(1, DAY, 8, 1, "made")]))

    assert found.parts == (Part(DRYING, "worth", 100),)


def test_bunches_made_of_bunches_keep_the_road_of_their_stems():
    """Two tens at 30 and a bunching of 2 each split into four fives with 6 of work: the first bunching came with the stems."""
    split = RunFact(OTHER_RUN, LATER, [], [BatchFact(9, 2, 4, 20)])
    rows = [MovementFact(101, LATER, 8, -2, "made_up", run=OTHER_RUN), MovementFact(102, LATER, 9, 4, "made")]
    given = bunched(movements=rows, runs=[split])
    found = borne(replace(given, spending=[*given.spending, spent(RUN, 6, number=2)]), line=2)

    assert set(found.parts) == {Part(DRYING, "hung", 15), Part(BUNCHING, "stems", 1), Part(BUNCHING, "own", 2)}
    assert (found.hung, found.lost) == (1, 0)


def test_a_line_sold_out_answers_for_its_last_batch():
    """All three gone: what they carried is still by its road."""
    found = borne(bunched(movements=[MovementFact(101, LATER, 8, -3, "sold")]))
    assert (found.parts, found.made) == ((Part(DRYING, "hung", 30),), 3)


def test_bunches_drawn_twice_into_one_run_come_by_the_same_road():
    """Two tens at 30 on two days into one wreath: 60, all of it with stems that hung."""
    wreath = RunFact(OTHER_RUN, LATER, [], [BatchFact(9, 2, 1, 1)])
    rows = [MovementFact(100 + n, LATER, 8, -1, "made_up", run=OTHER_RUN) for n in (1, 2)]
    given = bunched(movements=[*rows, MovementFact(103, LATER, 9, 1, "made")], runs=[wreath])

    assert Part(DRYING, "hung", 60) in borne(given, line=2).parts


def test_what_cost_nothing_has_no_part():
    """Stems that carry nothing leave no part, and nothing of stems."""
    found = borne(bunched(amount=0))
    assert (found.parts, found.of_stems) == ((), False)
