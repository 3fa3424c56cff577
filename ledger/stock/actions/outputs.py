"""What comes out of a run: batches of lines, their stems, the box they go into."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from django.utils.translation import gettext_lazy as _

from ledger.facts.models import User
from ledger.facts.writing import open_cost_object, record, refusal
from ledger.stock.models import Batch, Box, Line, Movement, Run

from .book import Row


@dataclass(frozen=True)
class Output:
    """`made` units of one line; `stems` where the line does not say; `unit_value` for the split, minor units."""

    line: Line
    made: int
    stems: int | None = None
    unit_value: int | None = None
    box: Box | None = None


def check_outputs(outputs: Sequence[Output]) -> None:
    """Refuse a run that makes nothing, less than one of something, or the same line twice."""
    if not outputs:
        raise refusal("outputs", _("Say what was made."), code="no_outputs")
    if len({output.line.pk for output in outputs}) < len(outputs):
        raise refusal("outputs", _("A line is named twice."), code="twice")
    for output in outputs:
        if output.made < 1:
            raise refusal("outputs", _("Give at least one of each line made."), code="too_few")
        if output.box is not None and output.box.parcel:
            raise refusal("outputs", _("Box %(box)s is a parcel of an order."), code="parcel", box=output.box)


def stems_said(output: Output) -> int | None:
    """The stems in what was made, by the line or as given; None where neither says."""
    if output.line.unit != Line.Unit.BUNCH:
        return output.stems or None
    stems = output.made * (output.line.stems or 0)
    if output.stems not in (None, stems):
        raise refusal(
            "outputs", _("%(made)d of %(line)s are %(stems)d stems."), code="does_not_add_up",
            made=output.made, line=output.line, stems=stems,
        )
    return stems


def check_adds_up(stems_in: int, stems_out: int, lost: int) -> None:
    """Refuse stems that went nowhere or came from nowhere."""
    if stems_in != stems_out + lost:
        raise refusal(
            "lost", _("%(stems_in)d stems went in, but %(out)d were bunched and %(lost)d lost: %(apart)+d."),
            code="does_not_add_up", stems_in=stems_in, out=stems_out, lost=lost, apart=stems_in - stems_out - lost,
        )


def check_lost(lost: int) -> None:
    """Refuse a loss below zero."""
    if lost < 0:
        raise refusal("lost", _("A loss cannot be below zero."), code="negative")


def open_run(*, by: User, on: date, kind: Run.Kind, label: Any, lost: int = 0, note: str = "") -> Run:
    """Begin a run of a kind; `label` is what the daybook calls it, with the day."""
    key = open_cost_object("run", str(label % {"on": on}))
    return record(Run(cost_object=key, on=on, kind=kind, lost=lost, note=note), by=by)


def rows_made(by: User, run: Run, outputs: Sequence[Output]) -> list[Row]:
    """Record the batches a run made, and return the rows to post for them."""
    return [_made(by, run, output, stems_said(output) or output.made) for output in outputs]


def _made(by: User, run: Run, output: Output, stems: int) -> Row:
    batch = record(
        Batch(run=run, on=run.on, line=output.line, made=output.made, stems=stems, unit_value=output.unit_value),
        by=by,
    )
    return Row(batch, output.box, output.made, Movement.Kind.MADE)
