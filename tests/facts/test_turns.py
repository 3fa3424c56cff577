"""Writers of one process take turns on SQLite, and nowhere else."""

import threading
from contextlib import ExitStack
from types import SimpleNamespace

import pytest

from ledger.facts import turns


@pytest.fixture
def engine(monkeypatch):
    """What the connection is taken to be."""
    said = SimpleNamespace(vendor="sqlite", in_atomic_block=False)
    monkeypatch.setattr(turns, "connection", said)
    monkeypatch.setattr(turns, "TURN", threading.Lock())
    monkeypatch.setattr(turns, "LONGEST_S", 0.05)
    return said


def held():
    """Whether somebody has the turn."""
    return turns.TURN.locked()


def test_one_writes_at_a_time(engine, monkeypatch):
    """The second begins when the first has ended."""
    monkeypatch.setattr(turns, "LONGEST_S", 30)
    seen, waits = [], threading.Event()

    def second():
        waits.set()
        with turns.in_turn():
            seen.append("second")

    other = threading.Thread(target=second)
    with turns.in_turn():
        other.start()
        waits.wait(10)
        other.join(0.1)
        assert other.is_alive() and seen == []
        seen.append("first")
    other.join(10)

    assert seen == ["first", "second"] and not held()


def test_whoever_waited_too_long_asks_the_file(engine):
    """Past its time a writer goes on, and leaves the turn to the one who has it."""
    with turns.in_turn():
        with turns.in_turn():
            assert held()
        assert held()
    assert not held()


def test_a_refusal_ends_the_turn(engine):
    """What is refused is over."""
    with pytest.raises(ValueError, match="no"), turns.in_turn():
        raise ValueError("no")
    assert not held()


@pytest.mark.parametrize("unlike", [{"vendor": "postgresql"}, {"in_atomic_block": True}])
def test_elsewhere_nobody_waits(engine, unlike):
    """Where the database lets in many, or the transaction is open already."""
    vars(engine).update(unlike)
    with ExitStack() as stack:
        for _ in range(2):
            stack.enter_context(turns.in_turn())
        assert not held()
