"""Bunching runs: sound stems in, batches out."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from django.utils.translation import gettext_lazy as _

from ledger.drying.models import Hanging
from ledger.facts.models import User
from ledger.facts.writing import action, keep, mark_undone, open_cost_object, record, refusal, require_standing
from ledger.stock.models import Batch, Box, Line, Movement, Run, RunInput
from ledger.stock.queries import lowest_loose

from .book import Row, lock_lines, post, unpost


@dataclass(frozen=True)
class Output:
    """`made` units of one line; `stems` where the line does not say; `unit_value` for the split, minor units."""

    line: Line
    made: int
    stems: int | None = None
    unit_value: int | None = None
    box: Box | None = None


@action("boxes")
def make_run(
    *, by: User, on: date, inputs: Sequence[tuple[Hanging, int]], outputs: Sequence[Output], lost: int = 0,
    note: str = "",
) -> Run:
    """Record a bunching run: its stems in are bunched or lost in bunching, to the stem."""
    stems_out = [_stems_of(output) for output in outputs]
    _check_sides(inputs, outputs)
    _check_adds_up(sum(stems for _, stems in inputs), sum(stems_out), lost)
    hangings = _lock_loose(inputs, on)
    lock_lines(output.line for output in outputs)
    label = _("Bunching run of %(on)s") % {"on": on}
    run = record(Run(cost_object=open_cost_object("run", str(label)), on=on, lost=lost, note=note), by=by)
    for hanging, stems in hangings:
        keep(RunInput(run=run, hanging=hanging, stems=stems))
    rows = [_made(by, run, output, stems) for output, stems in zip(outputs, stems_out, strict=True)]
    post(by=by, on=on, rows=rows)
    return run


def _stems_of(output: Output) -> int:
    if output.made < 1:
        raise refusal("outputs", _("Give at least one of each line made."), code="too_few")
    if output.box is not None and output.box.parcel:
        raise refusal("outputs", _("Box %(box)s is a parcel of an order."), code="parcel", box=output.box)
    if output.line.unit == Line.Unit.BUNCH:
        stems = output.made * (output.line.stems or 0)
        if output.stems not in (None, stems):
            raise refusal(
                "outputs", _("%(made)d of %(line)s are %(stems)d stems."), code="does_not_add_up",
                made=output.made, line=output.line, stems=stems,
            )
        return stems
    if not output.stems or output.stems < 1:
        raise refusal("outputs", _("Say how many stems went into %(line)s."), code="stems_missing", line=output.line)
    return output.stems


def _check_sides(inputs: Sequence[tuple[Hanging, int]], outputs: Sequence[Output]) -> None:
    if not inputs:
        raise refusal("inputs", _("Say which hangings the stems came from."), code="no_inputs")
    if not outputs:
        raise refusal("outputs", _("Say what was made."), code="no_outputs")
    if len({hanging.pk for hanging, _stems in inputs}) < len(inputs):
        raise refusal("inputs", _("A hanging is named twice."), code="twice")
    if len({output.line.pk for output in outputs}) < len(outputs):
        raise refusal("outputs", _("A line is named twice."), code="twice")
    if any(stems < 1 for _, stems in inputs):
        raise refusal("inputs", _("Give at least one stem from each hanging."), code="too_few")


def _check_adds_up(stems_in: int, stems_out: int, lost: int) -> None:
    if lost < 0:
        raise refusal("lost", _("A loss cannot be below zero."), code="negative")
    if stems_in != stems_out + lost:
        raise refusal(
            "lost", _("%(stems_in)d stems went in, but %(out)d were bunched and %(lost)d lost: %(apart)+d."),
            code="does_not_add_up", stems_in=stems_in, out=stems_out, lost=lost, apart=stems_in - stems_out - lost,
        )


def _lock_loose(inputs: Sequence[tuple[Hanging, int]], on: date) -> list[tuple[Hanging, int]]:
    locked = []
    for hanging, stems in sorted(inputs, key=lambda given: given[0].pk):
        hanging = Hanging.objects.lock(hanging)
        require_standing(hanging, "inputs")
        _require_loose(hanging, stems, on)
        locked.append((hanging, stems))
    return locked


def _require_loose(hanging: Hanging, stems: int, on: date) -> None:
    ever = lowest_loose(hanging, date.max)
    if stems > ever:
        raise refusal(
            "inputs", _("Only %(loose)d sound stems of %(hanging)s are loose."), code="too_many",
            loose=ever, hanging=hanging,
        )
    then = lowest_loose(hanging, on)
    if stems > then:
        raise refusal(
            "on", _("Only %(loose)d sound stems of %(hanging)s were loose on that day."), code="not_there_then",
            loose=max(then, 0), hanging=hanging,
        )


def _made(by: User, run: Run, output: Output, stems: int) -> Row:
    batch = record(
        Batch(run=run, on=run.on, line=output.line, made=output.made, stems=stems, unit_value=output.unit_value),
        by=by,
    )
    return Row(batch, output.box, output.made, Movement.Kind.MADE)


@action("boxes")
def undo_run(*, by: User, run: Run) -> Run:
    """Undo a run whose bunches have not gone anywhere yet; its stems are loose again."""
    run = Run.objects.lock(run)
    require_standing(run)
    batches = list(run.batches.standing().order_by("pk"))
    movements = list(Movement.objects.standing().filter(batch__in=batches).select_related("batch").order_by("pk"))
    for movement in movements:
        if movement.kind != Movement.Kind.MADE:
            raise refusal(None, _("%(what)s rests on this. Undo that first."), code="rested_on", what=str(movement))
    unpost(by=by, movements=movements)
    for batch in batches:
        mark_undone(batch, by=by)
    return mark_undone(run, by=by)
