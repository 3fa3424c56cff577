"""The stock book: the one place that posts to it, takes rows out of it again, and keeps both running figures."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date

from django.utils.translation import gettext_lazy as _

from ledger.facts.models import User
from ledger.facts.writing import keep, mark_undone, record, refusal, require_standing
from ledger.stock.models import Balance, Batch, Box, Content, Line, Movement, Run
from ledger.stock.queries import left_short_by, lowest_in_place

from .covering import by_line, keep_lines
from .shortness import promise_again

Place = tuple[int, int | None]


@dataclass(frozen=True)
class Row:
    """One row to be posted: bunches of a batch in (+) or out (-) of a box (None: not yet boxed).

    `brings_back`: an outgoing row of the book, or one posted before it by the same post.
    """

    batch: Batch
    box: Box | None
    bunches: int
    kind: str
    reason: str = ""
    to_check: bool = False
    brings_back: Movement | Row | None = None
    run: Run | None = None


def post(*, by: User, on: date, rows: Sequence[Row], takes_promised: bool = False) -> list[Movement]:
    """Post rows of one day: lock, check every later day, record, keep both figures.

    With `takes_promised` bunches already promised may go, and the latest
    promises are marked short; without it that is refused.
    """
    balances = lock_lines(row.batch.line_id for row in rows)
    _check(on, rows)
    places = _by_place(rows)
    contents = lock_contents(places)
    _require_there(places, on)
    keep_lines(by_line(rows), balances, on, takes_promised, by)
    made: dict[int, Movement] = {}
    movements = [_record(row, on, by, made) for row in rows]
    _keep_contents(places, contents)
    return movements


def unpost(*, by: User, movements: Sequence[Movement]) -> list[Movement]:
    """Take rows of one day out of the book again, unless what is left would not do.

    Promises they left short are kept again.
    """
    balances = lock_lines(movement.batch.line_id for movement in movements)
    movements = [Movement.objects.lock(movement) for movement in movements]
    on = movements[0].on
    rows = [Row(row.batch, row.box, -row.bunches, row.kind) for row in movements]
    places = _by_place(rows)
    contents = lock_contents(places)
    _require_there(places, on)
    lines = by_line(rows)
    keep_lines(lines, balances, on, False, by)
    undone = [mark_undone(movement, by=by) for movement in movements]
    _keep_contents(places, contents)
    for line, changes in lines.items():
        if max(changes.values()) > 0:
            promise_again(by=by, balance=balances[line], shorts=left_short_by(undone, line))
    return undone


def lock_lines(lines: Iterable[Line | int]) -> dict[int, Balance]:
    """Lock the balances of lines in order of key: the first lock of every verb on stock."""
    keys = {line.pk if isinstance(line, Line) else line for line in lines}
    rows = Balance.objects.select_for_update(no_key=True).filter(pk__in=keys).order_by("pk")
    return {balance.pk: balance for balance in rows}


def lock_contents(places: Iterable[Place]) -> dict[Place, Content]:
    """Lock the contents of places in order of key, and begin those that are new.

    New ones cannot collide: the line's balance is locked already.
    """
    wanted = set(places)
    rows = Content.objects.select_for_update(no_key=True, of=("self",)).filter(batch__in={batch for batch, _ in wanted})
    found = {(row.batch_id, row.box_id): row for row in rows.order_by("pk")}
    return {place: found.get(place) or Content(batch_id=place[0], box_id=place[1]) for place in wanted}


def _check(on: date, rows: Sequence[Row]) -> None:
    for batch in Batch.objects.filter(pk__in={row.batch.pk for row in rows}).order_by("pk"):
        require_standing(batch)
        if on < batch.on:
            raise refusal("on", _("That batch was made only on %(on)s."), code="too_early", on=batch.on)


def _by_place(rows: Iterable[Row]) -> dict[Place, int]:
    changes: dict[Place, int] = defaultdict(int)
    for row in rows:
        changes[row.batch.pk, row.box.pk if row.box else None] += row.bunches
    return changes


def _require_there(places: dict[Place, int], on: date) -> None:
    """Refuse to leave less than nothing in a place on the day or on any later day."""
    for (batch, box), change in places.items():
        if change >= 0:
            continue
        lowest = lowest_in_place(batch, box, on)
        if lowest + change >= 0:
            continue
        if Movement.objects.standing().in_place(batch, box).filter(on__gt=on).exists():
            raise refusal(
                "bunches", _("With what is entered for later days only %(there)d could go on that day."),
                code="not_there_then", there=lowest,
            )
        raise refusal("bunches", _("Only %(there)d are there."), code="too_many", there=lowest)


def _record(row: Row, on: date, by: User, made: dict[int, Movement]) -> Movement:
    """Record a row; `made`: what the rows before it became, by their identity."""
    back = made[id(row.brings_back)] if isinstance(row.brings_back, Row) else row.brings_back
    made[id(row)] = record(
        Movement(
            on=on, batch=row.batch, box=row.box, kind=row.kind, bunches=row.bunches, reason=row.reason,
            to_check=row.to_check, brings_back=back, run=row.run,
        ),
        by=by,
    )
    return made[id(row)]


def _keep_contents(places: dict[Place, int], contents: dict[Place, Content]) -> None:
    for place, change in places.items():
        contents[place].bunches += change
        keep(contents[place])
