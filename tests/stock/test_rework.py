"""Reworking bunches and loose stems into other lines."""

from datetime import date

import pytest
from django.core.exceptions import PermissionDenied

from ledger.stock.actions import Output, draw, hold, hold_back, rework, undo_movement, undo_run
from ledger.stock.models import Balance, Movement, Run
from ledger.stock.queries import lowest_loose
from tests.factories.made_up import MaterialFactory, oddments
from tests.factories.stock import BoxFactory, LineFactory, batch_of, sound_hanging, there
from tests.refusals import refused

JULY_31, AUGUST_1, AUGUST_5, AUGUST_9 = date(2024, 7, 31), date(2024, 8, 1), date(2024, 8, 5), date(2024, 8, 9)


@pytest.fixture
def fives(line):
    """The same variety in fives."""
    return LineFactory(variety=line.variety, stems=5)


def split(by, batch, box, bunches, *outputs, on=AUGUST_5, **more):
    """A rework of bunches from one box."""
    return rework(by=by, on=on, bunches=[(batch, box, bunches)], outputs=outputs, **more)


def test_tens_are_split_into_fives(hand, batch, box, fives):
    """Six tens give eleven fives; five stems broke. The tens are gone from their box."""
    run = split(hand, batch, box, 6, Output(fives, 11, box=box), lost=5, note="for the florist")

    made = run.batches.get()
    assert (run.kind, run.lost, made.made, made.stems) == (Run.Kind.REWORK, 5, 11, 55)
    assert there(batch, made) == [(box.code, 14), (box.code, 11)]
    used = run.drawn.get()
    assert (used.kind, used.bunches, used.batch) == (Movement.Kind.MADE_UP, -6, batch)


def test_bunches_are_dyed_with_a_material(owner, batch, box, line):
    """Twenty bunches natural in, twenty dyed out, 300 ml of dye on the run."""
    dyed, dye = LineFactory(variety=line.variety, finish="dyed"), MaterialFactory(unit="ml")

    run = split(owner, batch, box, 20, Output(dyed, 20), materials=[(dye, 300)])

    assert [(use.material, use.quantity, use.on) for use in run.cost_object.material_uses.all()] == [(dye, 300, AUGUST_5)]
    assert [Balance.objects.get(line=one).on_hand for one in (line, dyed)] == [0, 20]


def test_loose_stems_and_bunches_go_in_together(owner, batch, box, line):
    """Two tens and 30 loose stems are five tens bleached."""
    bleached, hanging = LineFactory(variety=line.variety, finish="bleached"), sound_hanging(30)

    split(owner, batch, box, 2, Output(bleached, 5), stems=[(hanging, 30)])

    assert lowest_loose(hanging, AUGUST_5) == 0


def test_faded_oddments_are_preserved(owner, line):
    """Stems alone can be reworked too."""
    preserved, kept = LineFactory(variety=line.variety, finish="preserved"), oddments(40)

    rework(by=owner, on=AUGUST_5, bunches=[], stems=[(kept, 40)], outputs=[Output(preserved, 4)])

    assert lowest_loose(kept, AUGUST_5) == 0


@pytest.mark.parametrize(
    ("made", "lost", "code"), [(11, 0, "does_not_add_up"), (12, 0, ""), (13, 0, "does_not_add_up"), (12, -1, "negative")]
)
def test_stems_of_bunches_add_up(owner, batch, box, fives, made, lost, code):
    """Six tens are twelve fives, no more and no fewer."""
    if code:
        with refused(code):
            split(owner, batch, box, 6, Output(fives, made), lost=lost)
    else:
        assert split(owner, batch, box, 6, Output(fives, made), lost=lost).batches.get().stems == 60


def test_heads_by_weight_need_no_sum_of_stems(owner, batch, box, line):
    """Nobody counts heads into bags of 50 g."""
    heads = LineFactory(variety=line.variety, unit="weight", stems=None, grams=50)

    assert split(owner, batch, box, 6, Output(heads, 9)).batches.get().stems == 9


def test_promised_bunches_are_not_reworked(owner, batch, box, line, fives):
    """15 of 20 are promised: five may go, six may not."""
    hold(by=owner, on=AUGUST_5, line=line, bunches=15, for_what="a wedding")

    with refused("not_free"):
        split(owner, batch, box, 6, Output(fives, 12))
    split(owner, batch, box, 5, Output(fives, 10))


def test_a_box_held_back_can_be_reworked_by_name(owner, batch, box, line, fives):
    """Faded bunches held back are what wants bleaching; the promise on the others stays whole."""
    batch_of(line, 4, box=BoxFactory())
    hold(by=owner, on=AUGUST_5, line=line, bunches=4, for_what="a wedding")
    hold_back(by=owner, on=AUGUST_5, box=box, until=AUGUST_9, why="faded")

    run = split(owner, batch, box, 20, Output(fives, 40))

    assert run.drawn.get().bunches == -20


def test_more_than_lie_there_are_not_reworked(owner, batch, box, fives):
    """Twenty lie there, and none on the day before they were bunched."""
    with refused("not_free"):
        split(owner, batch, box, 21, Output(fives, 42))
    with refused("not_free"):
        split(owner, batch, box, 1, Output(fives, 2), on=JULY_31)


@pytest.mark.parametrize(
    ("bunches", "outputs", "code"), [(None, 1, "no_inputs"), (0, 1, "too_few"), (1, 0, "no_outputs"), (1, 2, "twice")]
)
def test_absurd_rework_is_refused(owner, batch, box, line, bunches, outputs, code):
    """Something goes in, and each line comes out once."""
    weights = LineFactory(variety=line.variety, unit="weight", stems=None, grams=50)
    given = [] if bunches is None else [(batch, box, bunches)]

    with refused(code):
        rework(by=owner, on=AUGUST_5, bunches=given, outputs=[Output(weights, 1, stems=10)] * outputs)


def test_nothing_is_reworked_out_of_a_parcel(owner, line, fives):
    """A parcel holds what its order was packed with."""
    batch = batch_of(line, 5)

    with refused("parcel"):
        split(owner, batch, BoxFactory(parcel=True), 1, Output(fives, 2))


def test_the_second_press_reworks_once(owner, batch, box, fives):
    """One form makes one run."""
    first = split(owner, batch, box, 2, Output(fives, 4), key="a-form")

    assert split(owner, batch, box, 2, Output(fives, 4), key="a-form") == first
    assert there(batch) == [(box.code, 18)]


def test_a_seller_reworks_nothing(seller, batch, box, fives):
    """Rework is for those who box."""
    with pytest.raises(PermissionDenied):
        split(seller, batch, box, 2, Output(fives, 4))


def test_rework_undone_puts_everything_back(owner, batch, box, fives):
    """Bunches in their box, stems loose, dye unused."""
    dye, hanging = MaterialFactory(unit="ml"), sound_hanging(10)
    run = split(owner, batch, box, 2, Output(fives, 6), stems=[(hanging, 10)], materials=[(dye, 30)])

    undo_run(by=owner, run=run)

    assert there(batch, *run.batches.all()) == [(box.code, 20)]
    assert lowest_loose(hanging, AUGUST_5) == 10
    assert not run.cost_object.material_uses.standing()


def test_rework_whose_bunches_went_somewhere_is_not_undone(owner, batch, box, fives):
    """What was drawn rests on what was made; and a run's own rows are not undone alone."""
    run = split(owner, batch, box, 2, Output(fives, 4, box=box))
    draw(by=owner, on=AUGUST_9, batch=run.batches.get(), box=box, bunches=1, reason="sample")

    with refused("rested_on"):
        undo_run(by=owner, run=run)
    with refused("part_of_more"):
        undo_movement(by=owner, movement=run.drawn.get())
