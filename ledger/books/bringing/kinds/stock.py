"""Bunch lines, boxes, bunching runs and what later happened in the stock book."""

from datetime import date
from typing import Any

from django.utils.translation import gettext_lazy as _

from ledger.drying.models import Hanging
from ledger.facts.models import User
from ledger.stock.actions import Output, add_line, count_box, draw, make_run, move, new_box, write_off
from ledger.stock.models import Batch, Box, Line, Movement, Run, StockCount

from ..columns import Day, Key, Money, OneOf, Ref, Whole, Words
from ..rows import Kind


def _input(*, hanging: Hanging, stems: int) -> tuple[Hanging, int]:
    return hanging, stems


def _output(**given: Any) -> Output:
    return Output(**given)


def _batch_of(run: Run, given: dict[str, Any]) -> Batch:
    return run.batches.get(line=given["line"])


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
            Key("key"), Ref("variety", to="varieties"), Words("colour", required=False),
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
BUNCHING = (
    Kind(
        "runs", "boxes", _("bunching runs"), make_run,
        (
            Key("key"), Day("on"), Whole("lost", required=False, about=_("stems lost in bunching")),
            Words("note", required=False),
        ),
        parts={"inputs": "run_inputs", "outputs": "run_outputs"},
    ),
    Kind(
        "run_inputs", "boxes", _("sound stems a run used"), _input,
        (Ref("run", to="runs"), Ref("hanging", to="hangings"), Whole("stems")),
        part_of="run",
    ),
    Kind(
        "run_outputs", "boxes", _("the batches a run made; the key is the batch's"), _output,
        (
            Key("key"), Ref("run", to="runs"), Ref("line", to="lines"), Whole("made"),
            Whole("stems", required=False, about=_("only where the line is not a bunch of so many")),
            Money("unit_value", required=False, about=_("sales value of one, where the run is split by value")),
            Ref("box", to="boxes", required=False),
        ),
        part_of="run", made=_batch_of,
    ),
    Kind(
        "moves", "boxes", _("bunches put from one box into another"), _move,
        (
            Day("on"), Ref("batch", to="run_outputs"), Whole("bunches"),
            Ref("from_box", to="boxes", gives="source", required=False, about=_("empty: not yet boxed")),
            Ref("to_box", to="boxes", gives="target", required=False),
        ),
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
