"""The stock book is append-only on the database's own terms, whatever a program tries."""

import pytest
from django.db import IntegrityError, connection, transaction
from django.utils import timezone

from ledger.stock.models import Movement
from tests.thread import spin_thread

ROW = 'UPDATE stock_movement SET {} WHERE id = %s'


def tried(sql, *params):
    """Run one statement in a savepoint of its own."""
    with transaction.atomic(), connection.cursor() as cursor:
        cursor.execute(sql, params)


@pytest.fixture
def row(owner):
    """The one row of a small season: 27 bunches made."""
    spin_thread(owner)
    return Movement.objects.get()


def test_no_row_is_removed(row):
    """A delete is refused by the database, and the row stays."""
    with pytest.raises(IntegrityError, match="append-only"):
        tried("DELETE FROM stock_movement WHERE id = %s", row.pk)
    assert Movement.objects.get() == row


@pytest.mark.parametrize(
    ("change", "value"), [("bunches = %s", 26), ("reason = %s", "typed over"), ('"on" = %s', "2024-07-26"), ("box_id = %s", None)]
)
def test_no_row_is_changed(row, change, value):
    """Neither how many, nor why, nor when, nor where, not even to nothing."""
    with pytest.raises(IntegrityError, match="append-only"):
        tried(ROW.format(change), value, row.pk)
    assert Movement.objects.get().bunches == 27


@pytest.mark.unproved
def test_a_row_is_undone_once(row, owner):
    """Marking it undone is the one change there is, and not to be taken back or dated anew."""
    tried(ROW.format("undone_at = %s, undone_by_id = %s"), timezone.now(), owner.pk, row.pk)
    for change, value in (("undone_at = %s, undone_by_id = NULL", None), ("undone_at = %s", timezone.now())):
        with pytest.raises(IntegrityError):
            tried(ROW.format(change), value, row.pk)


def test_a_second_value_never_slips_in_with_an_undoing(row, owner):
    """Undoing and changing how many in one statement is refused as a whole."""
    with pytest.raises(IntegrityError, match="append-only"):
        tried(ROW.format("undone_at = %s, undone_by_id = %s, bunches = 1"), timezone.now(), owner.pk, row.pk)
    assert Movement.objects.get().undone_at is None


def test_the_guards_know_every_column(db):
    """After all migrations, no column of the book is missing from the guard: a new one must set it again."""
    if connection.vendor == "sqlite":
        sql = "SELECT sql FROM sqlite_master WHERE type = 'trigger' AND name = 'stock_movement_never_changed'"
    else:
        sql = "SELECT pg_get_triggerdef(oid) FROM pg_trigger WHERE tgname = 'stock_movement_never_changed'"
    with connection.cursor() as cursor:
        cursor.execute(sql)
        text = cursor.fetchone()[0].lower()
    columns = {field.column for field in Movement._meta.local_fields} - {"undone_by_id"}

    assert all(f"old.{column}" in text.replace('"', "") for column in columns)
