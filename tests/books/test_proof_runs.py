"""Runs of every kind broken by SQL, and the row the proof then names."""

from datetime import date

import pytest

from ledger.books.queries.proof import prove
from ledger.daybook.models import MaterialUse
from ledger.drying.models import Oddments
from ledger.growing.models import Parting
from ledger.stock.actions import Output, make_up, rework
from ledger.stock.models import Movement, Run, RunInput
from tests.factories.drying import LotFactory
from tests.factories.made_up import MaterialFactory, cut_dry, oddments, wreath
from tests.factories.stock import LineFactory, batch_of
from tests.flushing import without_guards

pytestmark = pytest.mark.unproved
AUGUST_5 = date(2024, 8, 5)


@pytest.fixture
def made(owner):
    """Two of twenty tens split into fives; a wreath of one ten, stems cut dry, oddments and fresh stems."""
    line = LineFactory(stems=10)
    batch, fives = batch_of(line, 20), LineFactory(variety=line.variety, stems=5)
    rework(by=owner, on=AUGUST_5, bunches=[(batch, None, 2)], outputs=[Output(fives, 4)])
    make_up(
        by=owner, on=AUGUST_5, outputs=[Output(wreath(), 1)], bunches=[(batch, None, 1)],
        stems=[(cut_dry(50), 30), (oddments(9), 9)], fresh=[(LotFactory(stems=12), 12)], materials=[(MaterialFactory(), 1)],
    )


BROKEN = [
    (Run, {"lost": 1}, {"kind": "rework"}, "run {}: 20 stems in, 20 in batches, 1 lost"),
    (RunInput, {"stems": 51}, {"parting__way": "cut_dry"}, "parting"),
    (RunInput, {"stems": 11}, {"parting__way": "made_up"}, "parting"),
    (RunInput, {"stems": 10}, {"oddments__isnull": False}, "oddments"),
    (Parting, {"stems": 29}, {"way": "cut_dry"}, "parting {}: 29 left the lot, 30 bunched"),
    (Parting, {"way": "drawn"}, {"way": "made_up"}, "parting {}: 0 left the lot, 12 bunched"),
    (Oddments, {"stems": 8}, {}, "oddments {}: 8 kept, 9 bunched"),
    (Movement, {"bunches": -1}, {"run__kind": "rework"}, "run"),
]


@pytest.mark.parametrize(("model", "change", "which", "named"), BROKEN)
def test_a_run_that_does_not_balance_is_named(made, model, change, which, named):
    """Whole before, and the row at fault after."""
    assert prove().ok
    row = model._base_manager.get(**which)
    without_guards(model)

    model._base_manager.filter(pk=row.pk).update(**change)

    found = prove().differences
    assert any(said.startswith(named.format(row.pk)) for said in found), found


def test_what_an_undone_run_used_is_named(made, owner):
    """A row of the stock book that no standing run stands behind."""
    run = Run.objects.get(kind="making_up")
    MaterialUse.objects.all().update(undone_at=run.recorded_at, undone_by=owner)

    Run.objects.filter(pk=run.pk).update(undone_at=run.recorded_at, undone_by=owner)

    said = prove().differences
    assert f"movement {run.drawn.get().pk}: the run that used it is undone" in said
    assert any("made up, in no run" in one for one in said)
