"""Boxes split, put together and emptied: each one step with one undo."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date

from django.utils.translation import gettext_lazy as _

from ledger.facts.models import User
from ledger.facts.writing import action, keep, mark_undone, record, refusal
from ledger.stock.models import Batch, Box, Content, Movement, RepackedRow, Repacking
from ledger.stock.queries import lines_in

from .book import Row, lock_lines, post, unpost
from .boxes import new_box, require_no_parcel, require_some


@action("boxes")
def split_box(
    *, by: User, on: date, box: Box, bunches: Mapping[Batch, int], target: Box | None = None, shelf: str = ""
) -> Repacking:
    """Put some bunches of some batches from a box into another one; without `target` into a new box on `shelf` (else its own)."""
    _require_other(box, target)
    if not bunches:
        raise refusal(None, _("Say how many bunches go into the other box."), code="nothing_given")
    for number in bunches.values():
        require_some(number)
    lock_lines(batch.line_id for batch in bunches)
    into = target or new_box(by=by, shelf=shelf.strip() or box.shelf)
    return _repack(by, on, box, into, Repacking.What.SPLIT, bunches)


@action("boxes")
def put_together(*, by: User, on: date, box: Box, target: Box) -> Repacking:
    """Put everything from a box into another one; the box is empty and can be used again."""
    _require_other(box, target)
    return _repack(by, on, box, target, Repacking.What.TOGETHER, _all_of(box))


@action("boxes")
def empty_box(*, by: User, on: date, box: Box) -> Repacking:
    """Take everything out of a box: it is not yet boxed again, and the box can be used again."""
    require_no_parcel(box)
    return _repack(by, on, box, None, Repacking.What.EMPTIED, _all_of(box))


def _require_other(box: Box, target: Box | None) -> None:
    require_no_parcel(box)
    require_no_parcel(target)
    if box == target:
        raise refusal("target", _("They are there already."), code="same_place")


def _all_of(box: Box) -> dict[Batch, int]:
    lock_lines(lines_in(box))
    rows = Content.objects.there().filter(box=box)
    found = {content.batch: content.bunches for content in rows}
    if not found:
        raise refusal("box", _("There is nothing in box %(box)s."), code="empty", box=box)
    return found


def _repack(by: User, on: date, box: Box, target: Box | None, what: str, bunches: Mapping[Batch, int]) -> Repacking:
    rows = []
    for batch in sorted(bunches, key=lambda batch: batch.pk):
        rows += [
            Row(batch, box, -bunches[batch], Movement.Kind.MOVED), Row(batch, target, bunches[batch], Movement.Kind.MOVED),
        ]
    posted = post(by=by, on=on, rows=rows)
    repacking = record(Repacking(on=on, what=what, box=box), by=by)
    for movement in posted:
        keep(RepackedRow(repacking=repacking, movement=movement))
    return repacking


@action("boxes")
def undo_repacking(*, by: User, repacking: Repacking) -> Repacking:
    """Put everything back as it lay, unless some of it has gone on since."""
    rows = Movement.objects.filter(repacked_row__repacking=repacking).select_related("batch", "box").order_by("pk")
    lock_lines(rows.values_list("batch__line", flat=True))
    repacking = mark_undone(Repacking.objects.lock(repacking), by=by)
    unpost(by=by, movements=list(rows))
    return repacking
