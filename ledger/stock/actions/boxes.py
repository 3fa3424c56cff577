"""Boxes, moving between them, and what leaves without being sold."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date

from django.core.exceptions import ValidationError
from django.db import IntegrityError, transaction
from django.db.models import Max
from django.utils.translation import gettext_lazy as _

from ledger.facts.actions import change_details
from ledger.facts.models import User
from ledger.facts.writing import action, keep, refusal
from ledger.reckoning.box_ids import box_code
from ledger.stock.models import Batch, Box, Movement
from ledger.stock.queries import found_for, pair_of

from .book import Row, post, unpost

TRIES = 5


@action("boxes")
def new_box(*, by: User, shelf: str = "", note: str = "", parcel: bool = False) -> Box:
    """Begin a box with the next id; when somebody takes that id in the same moment, the one after it."""
    for _attempt in range(TRIES):
        serial = (Box.objects.aggregate(last=Max("serial"))["last"] or 0) + 1
        try:
            with transaction.atomic():
                return keep(Box(code=box_code(serial), serial=serial, shelf=shelf, note=note, parcel=parcel))
        except IntegrityError:
            continue
        except ValidationError:
            if not Box.objects.filter(serial=serial).exists():
                raise
    raise refusal(None, _("Too many boxes are being made at once. Try again."), code="busy")


@action("boxes")
def move_box(
    *, by: User, box: Box, shelf: str, note: str | None = None, seen: Mapping[str, str] | None = None
) -> Box:
    """Put a box on another shelf, or change its note, keeping what stood before."""
    changes = {"shelf": shelf} if note is None else {"shelf": shelf, "note": note}
    return change_details(box, by=by, seen=dict(seen or {}), changes=changes)


@action("boxes")
def move(
    *, by: User, on: date, batch: Batch, bunches: int, source: Box | None, target: Box | None, packing: bool = False
) -> list[Movement]:
    """Move bunches of a batch from one box to another (None: not yet boxed); a parcel is filled by `packing` only."""
    require_some(bunches)
    if not packing:
        require_no_parcel(source)
        require_no_parcel(target)
    if source == target:
        raise refusal("target", _("They are there already."), code="same_place")
    return post(
        by=by, on=on,
        rows=[
            Row(batch, source, -bunches, Movement.Kind.MOVED),
            Row(batch, target, bunches, Movement.Kind.MOVED),
        ],
    )


@action("boxes")
def draw(*, by: User, on: date, batch: Batch, box: Box | None, bunches: int, reason: str) -> Movement:
    """Take bunches out that will never be sold: display, sample, gift, home use."""
    return _take_out(by, on, Row(batch, box, -bunches, Movement.Kind.DRAWN, reason))


@action("boxes")
def write_off(*, by: User, on: date, batch: Batch, box: Box | None, bunches: int, reason: str) -> Movement:
    """Write bunches off; never refused for promises: the latest ones are marked short."""
    return _take_out(by, on, Row(batch, box, -bunches, Movement.Kind.WRITTEN_OFF, reason))


def _take_out(by: User, on: date, row: Row) -> Movement:
    require_some(-row.bunches)
    require_no_parcel(row.box)
    if not row.reason.strip():
        raise refusal("reason", _("Say why."), code="no_reason")
    return post(by=by, on=on, rows=[row], takes_promised=True)[0]


def require_some(bunches: int) -> None:
    """Refuse nil and less."""
    if bunches < 1:
        raise refusal("bunches", _("Give at least one."), code="too_few")


def require_no_parcel(box: Box | None) -> None:
    """Refuse a parcel: what is in it is packed for an order."""
    if box is not None and box.parcel:
        raise refusal("box", _("Box %(box)s is packed for an order. Unpack it first."), code="parcel", box=box)


@action("boxes")
def undo_movement(*, by: User, movement: Movement) -> Movement:
    """Undo a row of the stock book that stands by itself, with the rows that belong to it.

    Both rows of a move go together; a sale beyond the record takes with it what
    it found. A run, a count or a sale is undone as a whole, by its own verb.
    """
    return unpost(by=by, movements=_together(Movement.objects.lock(movement)))[0]


def _together(movement: Movement) -> list[Movement]:
    if movement.kind == Movement.Kind.MOVED:
        other = pair_of(movement)
        return sorted([movement, *([other] if other else [])], key=lambda row: row.bunches)
    if movement.kind == Movement.Kind.SOLD:
        return [movement, *found_for(movement)]
    if movement.kind in {Movement.Kind.MADE, Movement.Kind.FOUND} or movement.run_id is not None:
        raise refusal(None, _("It is part of something else. Undo that instead."), code="part_of_more")
    return [movement]
