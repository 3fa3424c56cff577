"""Writers of one process take turns where the database lets in only one."""

from __future__ import annotations

import threading
from collections.abc import Iterator
from contextlib import contextmanager

from django.db import connection

TURN = threading.Lock()
LONGEST_S = 30.0


@contextmanager
def in_turn() -> Iterator[None]:
    """Wait until no other thread writes to SQLite's file; at once on PostgreSQL, or within a transaction.

    Whoever waits for the file asks again and again, and takes time from the one who has it; whoever waits
    here is called. After `LONGEST_S` seconds the file itself is asked, which refuses in its own time.
    """
    if connection.vendor != "sqlite" or connection.in_atomic_block:
        yield
        return
    mine = TURN.acquire(timeout=LONGEST_S)
    try:
        yield
    finally:
        if mine:
            TURN.release()
