"""Bunch lines, boxes, and what happened in the stock book beside runs."""

from datetime import date
from typing import Any

from django.utils.translation import gettext_lazy as _

from ledger.facts.models import User
from ledger.stock.actions import add_line, count_box, draw, hold_back, let_go, move, new_box, set_keeps_for, write_off
from ledger.stock.models import Batch, Box, Line, Movement, StockCount

from ..columns import Day, Key, OneOf, Ref, Whole, Words
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
        "held_backs", "boxes", _("boxes held back from sale up to and including a day"), hold_back,
        (Key("key"), Ref("box", to="boxes"), Day("on"), Day("until"), Words("why")),
    ),
    Kind(
        "keeps_for", "boxes", _("how many days bunches are at their best, from a day"), set_keeps_for,
        (Day("on"), Whole("days"), Ref("species", to="species", required=False, about=_("empty: any not named by itself"))),
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
        "counts", "boxes", _("stock-takes of a box"), _count,
        (Key("key"), Day("on"), Ref("box", to="boxes"), Words("note", required=False)),
        parts={"counted": "count_lines"},
    ),
    Kind(
        "count_lines", "boxes", _("what a stock-take found"), _counted,
        (Ref("count", to="counts"), Ref("batch", to="run_outputs"), Whole("counted")),
        part_of="count",
    ),
)
