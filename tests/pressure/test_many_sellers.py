"""Sellers in several processes on the same boxes, on a real file or on PostgreSQL."""

import json
import sqlite3
from collections import Counter

import pytest
from django.db import connection

from tests.pressure.ground import LONGEST_S, Ground, ground

PLAIN_REFUSALS = {"not_free", "too_many", "same_place", "no_batch", "too_few", "negative", "undone"}


@pytest.fixture
def pressed(db, tmp_path):
    """A ledger of its own."""
    with ground(tmp_path) as laid:
        yield laid


def press(laid: Ground, processes: int, threads: int, seconds: float) -> tuple[Counter, Counter, list[str]]:
    """So many processes of so many sellers; what was done, what refused, what went wrong."""
    at_work = [laid.start("press", str(threads), str(seconds), str(seed + 1)) for seed in range(processes)]
    done, refused, errors = Counter(), Counter(), []
    for process in at_work:
        said, complained = process.communicate(timeout=LONGEST_S)
        assert process.returncode == 0, complained
        result = json.loads(said.splitlines()[-1])
        done.update(result["done"])
        refused.update(result["refused"])
        errors += result["errors"]
    return done, refused, errors


@pytest.mark.parametrize(("processes", "threads", "seconds"), [(4, 1, 12.0), (4, 8, 5.0)])
def test_nothing_is_promised_twice_or_lost(pressed, processes, threads, seconds):
    """Four sellers for longer, thirty-two for a short run: every verb done, plain refusals only, and the ledger proves."""
    done, refused, errors = press(pressed, processes, threads, seconds)

    assert not errors, errors[0]
    assert set(done) == {"promise", "sell", "move", "count", "give_back", "draw"} and all(done.values())
    assert set(refused) <= PLAIN_REFUSALS
    pressed.proved()
    found = pressed.ask("tally")
    assert found["orders"] == done["promise"] and found["sales"] == done["sell"]
    assert found["lowest"] >= 0 and found["most_held_beyond"] <= 0


@pytest.mark.skipif(connection.vendor != "sqlite", reason="looks at the file itself")
def test_the_file_is_a_log_written_ahead(pressed, tmp_path):
    """What presses is SQLite as the grower has it: a log written ahead, every commit on the disk."""
    with sqlite3.connect(tmp_path / "ledger.sqlite3") as desk:
        assert desk.execute("PRAGMA journal_mode").fetchone() == ("wal",)
        assert desk.execute("PRAGMA integrity_check").fetchone() == ("ok",)
