"""Bunch lines, boxes, and what happened in the stock book beside runs."""

from datetime import date
from typing import Any

from django.utils.translation import gettext_lazy as _

from ledger.facts.models import User
from ledger.facts.writing import refusal
from ledger.stock.actions import (
    add_line,
    begin_take,
    count_box,
    count_in_take,
    draw,
    empty_box,
    end_take,
    hold_back,
    let_go,
    move,
    new_box,
    put_together,
    set_keeps_for,
    set_shelf_room,
    split_box,
    write_off,
)
from ledger.stock.models import Batch, Box, Line, Movement, Repacking, StockCount, StockTake, TakeCounted, TakeEnd

from ..columns import Day, Key, OneOf, Ref, Whole, Words, YesNo
from ..rows import Kind


def _move(*, by: User, source: Box | None = None, target: Box | None = None, **given: Any) -> list[Movement]:
    return move(by=by, source=source, target=target, **given)


def _draw(*, by: User, box: Box | None = None, **given: Any) -> Movement:
    return draw(by=by, box=box, **given)


def _write_off(*, by: User, box: Box | None = None, **given: Any) -> Movement:
    return write_off(by=by, box=box, **given)


def _counted(*, batch: Batch, counted: int) -> tuple[Batch, int]:
    return batch, counted


def _count(*, by: User, on: date, box: Box, counted: list[tuple[Batch, int]], note: str = "") -> StockCount:
    return count_box(by=by, on=on, box=box, counted=dict(counted), note=note)


def _split_row(*, batch: Batch, bunches: int) -> tuple[Batch, int]:
    return batch, bunches


def _split(*, by: User, on: date, box: Box, bunches: list[tuple[Batch, int]], **given: Any) -> Repacking:
    return split_box(by=by, on=on, box=box, bunches=dict(bunches), **given)


def _count_in_take(
    *, by: User, on: date, take: StockTake, batch: Batch, counted: int, box: Box | None = None
) -> list[TakeCounted]:
    return count_in_take(by=by, on=on, take=take, box=box, counted={batch: counted})


Reason = tuple[Batch, Box | None, str]


def _reason(*, batch: Batch, why: str, box: Box | None = None) -> Reason:
    return batch, box, why


def _end_take(*, by: User, on: date, take: StockTake, why: str = "", own: list[Reason] | None = None) -> TakeEnd:
    """`own`: the reasons of single differences; `why` serves for all others."""
    counted = {(one.batch_id, one.box_id): one.pk for one in take.counted.standing()}
    reasons = dict.fromkeys(counted.values(), why)
    for batch, box, said in own or ():
        place = (batch.pk, box.pk if box else None)
        if place not in counted:
            raise refusal("reasons", _("%(batch)s was not counted there in this stock-take."), code="not_counted", batch=batch)
        reasons[counted[place]] = said
    return end_take(by=by, on=on, take=take, reasons=reasons)


SHELVES = (
    Kind(
        "lines", "boxes", _("bunch lines: what is sold"), add_line,
        (
            Key("key"), Ref("variety", to="varieties", required=False, about=_("empty: made up or mixed")),
            Words("name", required=False, about=_("of what is made up or mixed")), Words("colour", required=False),
            OneOf("grade", words=tuple(Line.Grade.values)), OneOf("finish", words=tuple(Line.Finish.values)),
            OneOf("unit", words=tuple(Line.Unit.values)), Whole("stems", required=False, about=_("stems to the bunch")),
            Whole("grams", required=False, about=_("grams to the unit")),
        ),
    ),
    Kind(
        "boxes", "boxes", _("boxes; each gets its own id"), new_box,
        (Key("key"), Words("shelf", required=False), Words("note", required=False)),
    ),
)
MOVING = (
    Kind(
        "moves", "boxes", _("bunches put from one box into another"), _move,
        (
            Day("on"), Ref("batch", to="run_outputs"), Whole("bunches"),
            Ref("from_box", to="boxes", gives="source", required=False, about=_("empty: not yet boxed")),
            Ref("to_box", to="boxes", gives="target", required=False),
        ),
    ),
    Kind(
        "splits", "boxes", _("boxes split: some bunches put into another or a new box"), _split,
        (
            Key("key"), Day("on"), Ref("box", to="boxes"),
            Ref("to_box", to="boxes", gives="target", required=False, about=_("empty: a new box")),
            Words("shelf", required=False, about=_("of the new box")),
        ),
        parts={"bunches": "split_rows"},
    ),
    Kind(
        "split_rows", "boxes", _("what was put into the other box"), _split_row,
        (Ref("split", to="splits"), Ref("batch", to="run_outputs"), Whole("bunches")),
        part_of="split",
    ),
    Kind(
        "boxes_together", "boxes", _("everything of one box put into another"), put_together,
        (Day("on"), Ref("box", to="boxes"), Ref("to_box", to="boxes", gives="target")),
    ),
    Kind("boxes_emptied", "boxes", _("boxes emptied: all is not yet boxed"), empty_box, (Day("on"), Ref("box", to="boxes"))),
    Kind(
        "held_backs", "boxes", _("boxes held back from sale up to and including a day"), hold_back,
        (Key("key"), Ref("box", to="boxes"), Day("on"), Day("until"), Words("why")),
    ),
    Kind(
        "keeps_for", "boxes", _("how many days bunches are at their best, from a day"), set_keeps_for,
        (Day("on"), Whole("days"), Ref("species", to="species", required=False, about=_("empty: any not named by itself"))),
    ),
    Kind(
        "shelf_rooms", "boxes", _("for how many bunches a shelf has room, from a day"), set_shelf_room,
        (Day("on"), Words("shelf"), Whole("bunches")),
    ),
    Kind(
        "lets_go", "boxes", _("boxes held back and let go before their time"), let_go,
        (Ref("held_back", to="held_backs"), Day("on")),
    ),
)
LATER = (
    Kind(
        "draws", "boxes", _("bunches taken and never sold"), _draw,
        (
            Day("on"), Ref("batch", to="run_outputs"), Ref("box", to="boxes", required=False), Whole("bunches"),
            Words("reason"),
        ),
    ),
    Kind(
        "write_offs", "boxes", _("bunches written off"), _write_off,
        (
            Day("on"), Ref("batch", to="run_outputs"), Ref("box", to="boxes", required=False), Whole("bunches"),
            Words("reason"),
        ),
    ),
    Kind(
        "counts", "boxes", _("counts of a box by itself"), _count,
        (Key("key"), Day("on"), Ref("box", to="boxes"), Words("note", required=False)),
        parts={"counted": "count_lines"},
    ),
    Kind(
        "count_lines", "boxes", _("what a count found"), _counted,
        (Ref("count", to="counts"), Ref("batch", to="run_outputs"), Whole("counted")),
        part_of="count",
    ),
    Kind(
        "takes", "boxes", _("stock-takes begun: of a shelf, of a line, or of everything"), begin_take,
        (
            Key("key"), Day("on"), Words("shelf", required=False), Ref("line", to="lines", required=False),
            YesNo("shown", required=False, about=_("whether those who count see the record")), Words("note", required=False),
        ),
    ),
    Kind(
        "take_counts", "boxes", _("what was counted for a stock-take"), _count_in_take,
        (
            Ref("take", to="takes"), Day("on"), Ref("batch", to="run_outputs"),
            Ref("box", to="boxes", required=False, about=_("empty: not yet boxed")), Whole("counted"),
        ),
    ),
    Kind(
        "take_ends", "boxes", _("stock-takes put into the book"), _end_take,
        (
            Key("key", required=False), Ref("take", to="takes"), Day("on"),
            Words("why", required=False, about=_("wanted where something is missing and has no reason of its own")),
        ),
        parts={"own": "take_reasons"},
    ),
    Kind(
        "take_reasons", "boxes", _("why one thing counted differs"), _reason,
        (
            Ref("take_end", to="take_ends"), Ref("batch", to="run_outputs"),
            Ref("box", to="boxes", required=False, about=_("empty: not yet boxed")), Words("why"),
        ),
        part_of="take_end",
    ),
)
