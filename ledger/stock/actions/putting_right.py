"""What counting showed put right: all of it posted in one, what is missing first."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date

from ledger.facts.models import User
from ledger.stock.models import Batch, Box, CountLine, Movement
from ledger.stock.queries import lowest_in_place, put_right_by, shortages_of

from .book import Row, post

Written = list[tuple["Row | Movement", int]]


@dataclass(frozen=True)
class Apart:
    """A batch in a box (None: not yet boxed) of which `over` more were counted than recorded (below zero: missing), and why."""

    batch: Batch
    box: Box | None
    over: int
    why: str


def put_right(*, by: User, on: date, found: Sequence[Apart]) -> list[Movement | None]:
    """Post all in one, so that bunches found in one place make up for those missing in another before any promise is short.

    What is missing is written off, at most what is still there on every later day. What is over is found, and brings back
    first what is written off of its batch here, then what earlier counts missed. Returns the first row of each.
    """
    order = sorted(range(len(found)), key=lambda at: found[at].over >= 0)
    rows = _rows(on, [found[at] for at in order])
    posted = post(by=by, on=on, rows=[row for of_one in rows for row in of_one], takes_promised=True)
    first: list[Movement | None] = [None] * len(found)
    for at, of_one in zip(order, rows, strict=True):
        if of_one:
            first[at], posted = posted[0], posted[len(of_one):]
    return first


def _rows(on: date, found: Iterable[Apart]) -> list[list[Row]]:
    """The rows of each, those missing first, none where it agrees."""
    written: dict[int, Written] = defaultdict(list)
    missed: dict[int, Written] = {}
    rows: list[list[Row]] = []
    for one in found:
        if one.over < 0:
            rows.append(_written_off(one, on))
            written[one.batch.pk] += [(row, -row.bunches) for row in rows[-1]]
        else:
            if one.over and one.batch.pk not in missed:
                missed[one.batch.pk] = [*shortages_of(one.batch, on)]
            rows.append(_found(one, written[one.batch.pk], missed.get(one.batch.pk, [])))
    return rows


def _written_off(one: Apart, on: date) -> list[Row]:
    there = max(lowest_in_place(one.batch.pk, one.box.pk if one.box else None, on), 0)
    gone = min(-one.over, there)
    return [Row(one.batch, one.box, -gone, Movement.Kind.WRITTEN_OFF, one.why)] if gone else []


def _found(one: Apart, *short: Written) -> list[Row]:
    """The rows of what is over.

    `short`: what is written off of the batch elsewhere with it, then what earlier counts missed, each with how much is
    left of it to be brought back; what is brought back here is taken off them.
    """
    left, rows = one.over, []
    for shortages in short:
        for at, (shortage, missing) in enumerate(shortages):
            back = min(missing, left)
            if back:
                rows.append(Row(one.batch, one.box, back, Movement.Kind.FOUND, one.why, brings_back=shortage))
                left -= back
            shortages[at] = (shortage, missing - back)
    if left:
        rows.append(Row(one.batch, one.box, left, Movement.Kind.FOUND, one.why))
    return rows


def rows_found(on: date, found: Iterable[Apart]) -> list[Row]:
    """The rows for bunches that went beyond the record, to be checked: first what earlier counts missed, then the rest."""
    return [replace(row, to_check=True) for of_one in _rows(on, found) for row in of_one]


def posted_by(lines: Iterable[CountLine]) -> list[Movement]:
    """Every row that count lines stand for, what brings back others before those."""
    return sorted((row for line in lines for row in put_right_by(line)), key=lambda row: -row.pk)
