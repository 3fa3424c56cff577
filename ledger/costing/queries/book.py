"""The cost book of a day, read outside any transaction and checked against the ledger's token."""

from __future__ import annotations

import gc
import threading
from collections import OrderedDict
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import date, datetime

from django.db import transaction

from ledger.facts.models import LedgerState
from ledger.reckoning.book import Book, make_book

from .reading import read_facts

KEPT_BOOKS = 4
TRIES = 3

_kept: OrderedDict[tuple[str, date, datetime | None], Book] = OrderedDict()
_lock = threading.Lock()


def book(on: date, known: datetime | None = None) -> Book:
    """The cost book as of a day, as known at a moment (None: now).

    Kept per process under the ledger's token, the day and the moment. Reads the
    token, the facts, the token again; where they differ it reads again, and
    after three tries once under the ledger's lock.
    """
    for _ in range(TRIES):
        token = _token()
        found = _kept_book((token, on, known))
        if found is not None:
            return found
        try:
            made = fresh_book(on, known)
        except (KeyError, ValueError):
            # Facts read while somebody wrote need not fit one another.
            if _token() == token:
                raise
            continue
        if _token() == token:
            return _keep((token, on, known), made)
    with transaction.atomic():
        state = LedgerState.objects.select_for_update(no_key=True).get(pk=1)
        return _keep((state.token, on, known), fresh_book(on, known))


def fresh_book(on: date, known: datetime | None = None) -> Book:
    """The cost book read afresh, whatever is kept."""
    with not_collecting():
        return make_book(read_facts(on, known))


@contextmanager
def not_collecting() -> Iterator[None]:
    """Let the collector of cycles rest: a book makes very many rows and no cycle, and a third of its time went there."""
    was = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was:
            gc.enable()


def _token() -> str:
    return LedgerState.objects.values_list("token", flat=True).get(pk=1)


def _kept_book(key: tuple[str, date, datetime | None]) -> Book | None:
    with _lock:
        if key in _kept:
            _kept.move_to_end(key)
        return _kept.get(key)


def _keep(key: tuple[str, date, datetime | None], made: Book) -> Book:
    with _lock:
        _kept[key] = made
        while len(_kept) > KEPT_BOOKS:
            _kept.popitem(last=False)
    return made


def forget_books() -> None:
    """Drop every kept book of this process."""
    with _lock:
        _kept.clear()
