"""Killed while it writes: what was confirmed is there, what was not is wholly absent."""

import random
import signal
import time

import pytest

from tests.pressure.ground import ground

KILLS = 12


@pytest.fixture
def pressed(db, tmp_path):
    """A ledger of its own."""
    with ground(tmp_path) as laid:
        yield laid


def killed_at(laid, seconds):
    """Orders confirmed by a process killed so long after its first."""
    process = laid.start("write")
    first = process.stdout.readline()
    time.sleep(seconds)
    process.send_signal(signal.SIGKILL)
    said, _ = process.communicate(timeout=30)
    assert process.returncode == -signal.SIGKILL
    whole = (first + said).splitlines(keepends=True)
    return [int(line) for line in whole if line.endswith("\n")]


def test_what_was_confirmed_is_there_whole(pressed):
    """Twelve kills at any moment: every confirmed order is there, at most one more a kill, each with both its lines."""
    chance, confirmed = random.Random(7), []
    for _ in range(KILLS):
        confirmed += killed_at(pressed, chance.uniform(0.0, 0.25))
    found = pressed.ask("tally")

    assert len(confirmed) > KILLS and set(confirmed) <= set(found["order_keys"])
    assert len(found["order_keys"]) <= len(confirmed) + KILLS
    assert set(found["lines_an_order"]) == {2}
    pressed.proved()
