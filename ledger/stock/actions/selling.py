"""Bunches that are sold and bunches that come back."""

from __future__ import annotations

from collections.abc import Collection
from datetime import date

from django.db.models import Case, F, Value, When
from django.utils.translation import gettext_lazy as _

from ledger.facts.models import User
from ledger.facts.writing import action, refusal, require_standing
from ledger.stock.models import Batch, Box, Content, Line, Movement
from ledger.stock.queries import ContentQuerySet, held_back_by, lowest_free, still_out
from ledger.stock.queries.picking import taken_from
from ledger.stock.queries.seasons import spare_by_season

from .book import Row, lock_lines, post
from .boxes import require_some
from .inputs import Bunches
from .putting_right import Apart, rows_found

COMES_BACK = {Movement.Kind.SOLD, Movement.Kind.MADE_UP, Movement.Kind.DRAWN}


@action("selling")
def sell_bunches(
    *, by: User, on: date, line: Line, bunches: int, box: Box | None = None, batch: Batch | None = None,
    beyond_record: bool = False, at_hand: Collection[Box] = (), away: Collection[Box] = (),
) -> list[Movement]:
    """Take bunches of a line out as sold, the oldest batch first; return the rows that took them.

    Without a box: from any but parcels and those held back, by shelf and id, the
    unboxed last; boxes `at_hand` before all others, those that are `away` after them. Only free ones, unless
    `beyond_record`: then promised ones go too, and what the record lacks is posted as found, to be checked, before it is sold.
    """
    require_some(bunches)
    lock_lines([line])
    if not beyond_record:
        _require_offered(box, on)
        _require_free(line, on, bunches)
    places = _places(line, box, batch, on)
    picked, missing = _pick(_nearest_first(places, at_hand, away), line, on, bunches)
    if missing and not beyond_record:
        raise refusal("bunches", _("Only %(there)d are there to be taken on that day."), code="too_many", there=bunches - missing)
    rows = [Row(place.batch, place.box, -number, Movement.Kind.SOLD) for place, number in picked]
    if missing:
        rows = _with_found(rows, line, box, batch, on, missing)
    posted = post(by=by, on=on, rows=rows, takes_promised=beyond_record)
    return [movement for movement in posted if movement.kind == Movement.Kind.SOLD]


def pick_bunches(
    line: Line, on: date, bunches: int, *, at_hand: Collection[Box] = (), away: Collection[Box] = (), beyond_record: bool = False
) -> list[Bunches]:
    """Where so many bunches of a line would be taken from, as a sale would; refused where fewer are free.

    `beyond_record`: promised ones too, and the last place gives those the record lacks.
    """
    require_some(bunches)
    if not beyond_record:
        _require_free(line, on, bunches)
    picked, missing = _pick(_nearest_first(_places(line, None, None, on), at_hand, away), line, on, bunches)
    if missing and not beyond_record:
        raise refusal("bunches", _("Only %(there)d are there to be taken on that day."), code="too_many", there=bunches - missing)
    taken = [(place.batch, place.box, number) for place, number in picked]
    if missing:
        batch, box, number = taken.pop() if taken else (_batch_for(line, None, on), None, 0)
        taken.append((batch, box, number + missing))
    return taken


def _nearest_first(places: ContentQuerySet, at_hand: Collection[Box], away: Collection[Box]) -> ContentQuerySet:
    """The places as they are, those at hand before all others, those that are away after them."""
    if not at_hand and not away:
        return places
    near = Case(When(box__in=at_hand, then=Value(0)), When(box__in=away, then=Value(2)), default=Value(1))
    shelf = F("box__shelf").asc(nulls_last=True)
    return places.annotate(near=near).order_by("near", "batch__on", "batch__pk", shelf, "box__code", "pk")


def _require_free(line: Line, on: date, bunches: int) -> None:
    free = max(lowest_free(line, on), 0)
    if bunches > free:
        raise refusal("bunches", _("Only %(free)d of %(line)s are free."), code="not_free", free=free, line=line)


def _require_offered(box: Box | None, on: date) -> None:
    held_back = held_back_by(box, on) if box is not None else None
    if held_back is not None:
        raise refusal("box", _("%(what)s. Let it go first."), code="held_back", what=held_back)


def _places(line: Line, box: Box | None, batch: Batch | None, on: date) -> ContentQuerySet:
    places = Content.objects.there().filter(batch__line=line)
    if batch is not None:
        places = places.filter(batch=batch)
    return places.out_of_parcels().not_held_back(on) if box is None else places.filter(box=box)


def _pick(places: ContentQuerySet, line: Line, on: date, bunches: int) -> tuple[list[tuple[Content, int]], int]:
    """What to take from where, and how many are missing; what is promised of one season goes last."""
    places = places.filter(batch__on__lte=on)
    spare = spare_by_season(line.pk)
    taken = taken_from(places, on, bunches, spare)
    if spare:
        taken = taken_from(places, on, bunches - sum(taken.values()), {}, taken)
    return list(taken.items()), bunches - sum(taken.values())


def _with_found(
    rows: list[Row], line: Line, box: Box | None, batch: Batch | None, on: date, missing: int
) -> list[Row]:
    """Let the last place taken from give the missing ones too, found there first."""
    last = rows.pop() if rows else Row(_batch_for(line, batch, on), box, 0, Movement.Kind.SOLD)
    reason = str(_("sold beyond the record"))
    found = rows_found(on, [Apart(last.batch, last.box, missing, reason)])
    return [*rows, *found, Row(last.batch, last.box, last.bunches - missing, Movement.Kind.SOLD)]


def _batch_for(line: Line, batch: Batch | None, on: date) -> Batch:
    latest = batch or line.batches.standing_on(on).order_by("-on", "-pk").first()
    if latest is None:
        raise refusal(
            "line", _("No bunch of %(line)s was made by that day. Record the bunching run first."), code="no_batch",
            line=line,
        )
    return latest


@action("boxes")
def take_back(*, by: User, on: date, movement: Movement, bunches: int, box: Box | None = None) -> Movement:
    """Put bunches that had gone out back into a box (None: not yet boxed); they bring back their own cost."""
    require_some(bunches)
    lock_lines([movement.batch.line_id])
    movement = Movement.objects.lock(movement)
    require_standing(movement)
    if movement.run_id is not None:
        raise refusal(None, _("A run used them. Undo that run instead."), code="part_of_more")
    if movement.kind not in COMES_BACK:
        raise refusal(None, _("Only what was sold, made up or drawn comes back."), code="not_out")
    if on < movement.on:
        raise refusal("on", _("They went out only on %(on)s."), code="too_early", on=movement.on)
    out = still_out(movement)
    if bunches > out:
        raise refusal("bunches", _("Only %(out)d of them are still out."), code="too_many", out=out)
    row = Row(movement.batch, box, bunches, Movement.Kind.RETURNED, brings_back=movement)
    return post(by=by, on=on, rows=[row])[0]
