"""The proof names every row that does not agree with the rest."""

from datetime import date

import pytest
from django.core.management import call_command
from django.db import connection

from ledger.books.queries.places import totals
from ledger.books.queries.proof import prove
from ledger.daybook import actions as daybook
from ledger.drying.models import Hanging, Loss, TakingDown
from ledger.growing.models import Parting
from ledger.reckoning.sharing import MILLION
from ledger.stock.models import Balance, Batch, Content, Movement, Run
from tests.flushing import without_guards
from tests.thread import spin_thread

YEAR_END = date(2024, 12, 31)


def test_every_place_adds_up_to_what_was_entered(owner):
    """Seed 100.00, work 24.00, pay 30.00: money spent is 130.00, of which 6.00 was paid and not booked."""
    thread = spin_thread(owner)
    daybook.record_pay(
        by=owner, worker=thread.worker, on=YEAR_END, first_day=date(2024, 1, 1), last_day=YEAR_END, amount=3000
    )
    found = prove(YEAR_END)

    assert found.ok
    assert totals(found.places).paid == 13000 * MILLION
    assert found.places["paid, not booked"].paid == 600 * MILLION


def test_unpaid_hours_count_in_full_cost_only(owner):
    """The proprietor's hour at 15.00 is full cost and no money spent."""
    spin_thread(owner)
    before = totals(prove(YEAR_END).places)
    me = daybook.add_worker(by=owner, name="Sorrel", paid=False)
    daybook.set_worker_rate(by=owner, worker=me, on=date(2024, 1, 1), per_hour=1500)
    key = Run.objects.get().cost_object
    daybook.note_work(by=owner, worker=me, on=date(2024, 8, 1), minutes=60, task="bunching", spent_on=[(key, 1)])
    after = totals(prove(YEAR_END).places)

    assert (after.paid - before.paid, after.full - before.full) == (0, 1500 * MILLION)


BREAKS = [
    (Parting, {"stems": 500}, "lot"),
    (Hanging, {"stems": 299}, "hanging"),
    (TakingDown, {"sound": 279}, "taking down"),
    (Loss, {"stems": 19}, "taking down"),
    (Run, {"lost": 9}, "run"),
    (Batch, {"made": 26}, "batch"),
    (Movement, {"bunches": 26}, "content of box"),
    (Content, {"bunches": 26}, "content of box"),
    (Balance, {"on_hand": 26}, "balance of line"),
    (Balance, {"held": 1}, "balance of line"),
]


@pytest.mark.unproved
@pytest.mark.parametrize(("model", "change", "named"), BREAKS)
def test_a_row_changed_behind_its_back_is_named(owner, model, change, named):
    """By SQL, breaking a balance of stems or bunches makes the proof name the row."""
    spin_thread(owner)
    without_guards(model)
    row = model._base_manager.order_by("pk").last()
    model._base_manager.filter(pk=row.pk).update(**change)
    found = prove(YEAR_END)

    assert not found.ok
    assert any(one.startswith(named) for one in found.differences), found.differences


@pytest.mark.unproved
def test_movement_that_vanished_is_named(owner):
    """A row deleted from the stock book leaves its content without a reason."""
    spin_thread(owner)
    without_guards(Movement)
    with connection.cursor() as cursor:
        cursor.execute("DELETE FROM stock_movement")

    assert any("content of box" in one for one in prove(YEAR_END).differences)


@pytest.mark.unproved
def test_command_ends_with_one_when_the_ledger_does_not_prove(owner, capsys):
    """`manage.py prove` prints the difference and exits 1; on a true ledger it exits 0."""
    spin_thread(owner)
    call_command("prove")
    Balance.objects.update(on_hand=1)

    with pytest.raises(SystemExit) as stopped:
        call_command("prove", "--json")
    assert stopped.value.code == 1
    assert '"ok": false' in capsys.readouterr().out
