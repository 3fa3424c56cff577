"""Bunching runs."""

from datetime import date

import pytest
from django.core.exceptions import PermissionDenied

from ledger.drying.actions import undo_hanging
from ledger.drying.models import Hanging
from ledger.stock.actions import Output, draw, make_run, undo_run
from ledger.stock.models import Line, Run
from ledger.stock.queries import lowest_loose, with_loose
from tests.factories.drying import HangingFactory, TakingDownFactory
from tests.factories.stock import BoxFactory, LineFactory, batch_of, run_of, sound_hanging, there
from tests.refusals import refused

JULY_20, AUGUST_1, AUGUST_5 = date(2024, 7, 20), date(2024, 8, 1), date(2024, 8, 5)


@pytest.fixture
def tens(owner):
    """A line of ten stems to the bunch."""
    return LineFactory(stems=10)


def make(by, hanging, taken, *outputs, on=AUGUST_1, lost=0, **more):
    """A run from one hanging."""
    return make_run(by=by, on=on, inputs=[(hanging, taken)], outputs=outputs, lost=lost, **more)


def test_a_run_makes_firsts_seconds_and_oddments(hand, tens):
    """500 stems: 40 tens of firsts, 8 fives of seconds, 25 in two weights of oddments, 35 lost."""
    fives = LineFactory(variety=tens.variety, grade="seconds", stems=5)
    heads = LineFactory(variety=tens.variety, grade="oddments", unit="weight", stems=None, grams=50)
    box = BoxFactory()

    run = make(
        hand, sound_hanging(500), 500, Output(tens, 40, box=box), Output(fives, 8),
        Output(heads, 2, stems=25, unit_value=150), lost=35, note="dry day",
    )

    firsts, seconds, oddments = run.batches.order_by("pk")
    sizes = [(batch.made, batch.stems, batch.unit_value) for batch in (firsts, seconds, oddments)]
    assert sizes == [(40, 400, None), (8, 40, None), (2, 25, 150)]
    assert there(firsts, seconds, oddments) == [(box.code, 40), ("", 8), ("", 2)]
    assert [line.balance.on_hand for line in Line.objects.order_by("pk")] == [40, 8, 2]


def test_a_run_may_use_several_hangings(owner, tens):
    """30 of one and 70 of another make ten bunches."""
    first, second = sound_hanging(100), sound_hanging(100)

    run = make_run(by=owner, on=AUGUST_1, inputs=[(second, 70), (first, 30)], outputs=[Output(tens, 10)])

    assert {(i.hanging_id, i.stems) for i in run.inputs.all()} == {(first.pk, 30), (second.pk, 70)}
    assert [h.loose for h in with_loose(Hanging.objects.order_by("pk"), AUGUST_1)] == [70, 30]
    assert [h.loose for h in with_loose(Hanging.objects.order_by("pk"), date(2024, 7, 31))] == [100, 100]


@pytest.mark.parametrize(("made", "lost"), [(9, 0), (11, 0), (10, 1)])
def test_stems_in_are_stems_out_to_the_stem(owner, tens, made, lost):
    """100 in are ten tens and nothing lost, neither more nor less."""
    with refused("does_not_add_up"):
        make(owner, sound_hanging(110), 100, Output(tens, made), lost=lost)
    assert not Run.objects.exists()


def test_bunches_have_the_stems_of_their_line(owner, tens):
    """Ten tens are not 99 stems."""
    with refused("does_not_add_up"):
        make(owner, sound_hanging(100), 99, Output(tens, 10, stems=99))


def test_a_weight_says_how_many_stems_went_in(owner):
    """Grams say nothing of stems."""
    heads = LineFactory(unit="weight", stems=None, grams=50)

    with refused("stems_missing"):
        make(owner, sound_hanging(100), 100, Output(heads, 2))


def test_more_than_is_loose_is_not_bunched(owner, tens):
    """Of 100 sound stems 60 are bunched: 40 are loose."""
    hanging = sound_hanging(100)
    run_of(tens, 6, hanging=hanging)

    with refused("too_many"):
        make(owner, hanging, 50, Output(tens, 5), on=AUGUST_5)
    make(owner, hanging, 40, Output(tens, 4), on=AUGUST_5)

    assert lowest_loose(hanging, AUGUST_5) == 0


def test_stems_are_bunched_from_the_day_they_come_down(owner, tens):
    """Down on 20 July: not on the 19th, and on the 20th."""
    hanging = sound_hanging(100, on=JULY_20)

    with refused("not_there_then"):
        make(owner, hanging, 100, Output(tens, 10), on=date(2024, 7, 19))
    assert make(owner, hanging, 100, Output(tens, 10), on=JULY_20).on == JULY_20


def test_a_back_dated_run_minds_runs_of_later_days(owner, tens):
    """50 sound on 20 July are bunched on 1 August; 50 more of 5 August cannot be bunched on 20 July."""
    hanging = HangingFactory(stems=100)
    TakingDownFactory(hanging=hanging, stems=50, on=JULY_20)
    TakingDownFactory(hanging=hanging, stems=50, on=AUGUST_5)
    make(owner, hanging, 50, Output(tens, 5), on=AUGUST_1)

    with refused("not_there_then"):
        make(owner, hanging, 50, Output(tens, 5), on=JULY_20)


@pytest.mark.parametrize(
    ("inputs", "outputs", "lost", "code"),
    [
        ((), ((5, None),), 0, "no_inputs"),
        ((100,), (), 100, "no_outputs"),
        ((50, 50), ((10, None),), 0, "twice"),
        ((100,), ((5, None), (5, None)), 0, "twice"),
        ((0,), ((5, None),), 0, "too_few"),
        ((100,), ((0, None),), 100, "too_few"),
        ((100,), ((11, None),), -10, "negative"),
    ],
)
def test_absurd_runs_are_refused(owner, tens, inputs, outputs, lost, code):
    """Each side is named once, with something in it."""
    hanging = sound_hanging(100)

    with refused(code):
        make_run(
            by=owner, on=AUGUST_1, inputs=[(hanging, stems) for stems in inputs],
            outputs=[Output(tens, made, stems) for made, stems in outputs], lost=lost,
        )


def test_nothing_is_bunched_into_a_parcel(owner, tens):
    """A parcel holds what its order was packed with."""
    with refused("parcel"):
        make(owner, sound_hanging(100), 100, Output(tens, 10, box=BoxFactory(parcel=True)))


def test_nothing_is_bunched_of_an_undone_hanging(owner, tens):
    """A form opened before the undoing is refused."""
    hanging = undo_hanging(by=owner, hanging=HangingFactory())

    with refused("undone"):
        make(owner, hanging, 100, Output(tens, 10))


def test_the_second_press_bunches_once(owner, tens):
    """One form makes one run."""
    hanging = sound_hanging(100)

    first = make(owner, hanging, 50, Output(tens, 5), key="a-form")

    assert make(owner, hanging, 50, Output(tens, 5), key="a-form") == first
    assert Line.objects.get(pk=tens.pk).balance.on_hand == 5


def test_a_seller_bunches_nothing(seller, tens):
    """Bunching is for those who box."""
    with pytest.raises(PermissionDenied):
        make(seller, sound_hanging(100), 100, Output(tens, 10))


def test_an_undone_run_leaves_its_stems_loose(owner, tens):
    """No batch, no bunch, all stems loose again."""
    hanging = sound_hanging(100)
    run = run_of(tens, 10, hanging=hanging)

    undo_run(by=owner, run=run)

    assert not run.batches.standing() and there(*run.batches.all()) == []
    assert Line.objects.get(pk=tens.pk).balance.on_hand == 0
    assert lowest_loose(hanging, AUGUST_1) == 100
    with refused("undone"):
        undo_run(by=owner, run=run)


def test_a_run_whose_bunches_went_somewhere_is_not_undone(owner, tens):
    """What was drawn rests on what was made."""
    batch = batch_of(tens, 10)
    draw(by=owner, on=AUGUST_5, batch=batch, box=None, bunches=1, reason="sample")

    with refused("rested_on"):
        undo_run(by=owner, run=batch.run)
