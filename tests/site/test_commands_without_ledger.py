"""Commands where there is no ledger to ask: one plain sentence, nothing made, a code that says no."""

import sqlite3
from contextlib import closing

import pytest

from tests.serving import manage

ASKING = [
    ["prove"], ["load_demo"], ["stock_value", "--on", "2025-12-31"], ["bed_earnings"], ["cost_sheet", "1"],
    ["bring_in", "fixtures/demo"],
]


def last_sentence(said, code):
    """What was said last, by a command that failed without a trace of the program's insides."""
    assert code == 1, said
    assert "Traceback" not in said
    return said.strip().splitlines()[-1]


@pytest.mark.parametrize("asked", ASKING, ids=lambda asked: asked[0])
def test_a_folder_that_is_not_there_is_said_plainly_and_not_made(tmp_path, asked):
    """The folder is named, and what would do."""
    folder = tmp_path / "nowhere"
    said = last_sentence(*manage(folder, *asked))

    assert f"There is no ledger in {folder}" in said and "manage.py start" in said
    assert not folder.exists()


def test_a_folder_without_a_ledger_stays_as_it_is(tmp_path):
    """Asking leaves no empty database behind."""
    assert "There is no ledger in" in last_sentence(*manage(tmp_path, "prove", "--json"))
    assert list(tmp_path.iterdir()) == []


def written(path, statement):
    """One statement run on a database of its own."""
    with closing(sqlite3.connect(path)) as kept:
        kept.execute(statement)
        kept.commit()


def test_a_ledger_of_an_earlier_version_is_left_to_the_start(tmp_path):
    """A database that lacks what this program keeps."""
    written(tmp_path / "ledger.sqlite3", "create table something (one integer)")

    assert "kept by another version of this program" in last_sentence(*manage(tmp_path, "prove"))


def test_a_ledger_of_a_later_version_is_left_to_the_start(tmp_path):
    """A database with a migration this program does not know."""
    assert manage(tmp_path, "start", "--no-serve")[1] == 0
    later = "insert into django_migrations (app, name, applied) values ('stock', '9999_later', '2025-01-01')"
    written(tmp_path / "ledger.sqlite3", later)

    assert "kept by another version of this program" in last_sentence(*manage(tmp_path, "prove"))


def test_a_file_that_is_no_database_is_said_plainly(tmp_path):
    """Somebody's letter under the ledger's name."""
    (tmp_path / "ledger.sqlite3").write_text("Dear grower, " * 100)

    assert "The ledger cannot be opened" in last_sentence(*manage(tmp_path, "prove"))


def test_the_columns_of_files_are_told_without_a_ledger(tmp_path):
    """Who only wants to prepare files needs none."""
    said, code = manage(tmp_path / "nowhere", "bring_in", "--columns")

    assert (code, "sales" in said) == (0, True)
