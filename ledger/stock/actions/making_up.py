"""Reworking bunches into another line, making goods up, and buying bunches in."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from django.utils.translation import gettext_lazy as _

from ledger.daybook.actions import BoughtLine, record_purchase
from ledger.daybook.models import Material
from ledger.facts.models import CostKind, User
from ledger.facts.writing import action, refusal
from ledger.growing.models import Lot
from ledger.stock.models import Line, Run

from .book import lock_lines, post
from .bunching import undo_run
from .inputs import (
    Bunches,
    Stems,
    check_free,
    check_some,
    check_stems,
    lock_loose,
    lock_lots,
    put_in,
    put_in_fresh,
    rows_lacking,
    rows_used,
    use_materials,
)
from .outputs import Output, check_adds_up, check_lost, check_outputs, open_run, rows_made, stems_said

Materials = Sequence[tuple[Material, int]]


@action("boxes")
def rework(
    *, by: User, on: date, bunches: Sequence[Bunches], outputs: Sequence[Output], lost: int = 0,
    stems: Sequence[Stems] = (), materials: Materials = (), note: str = "", beyond_record: bool = False,
) -> Run:
    """Record bunches and loose stems worked into other lines: dyed, bleached, preserved, split, banded anew.

    Where every line says its stems, what came out and what was lost add up to
    what went in, to the stem. Promised bunches are refused, unless `beyond_record`: it happened; then promised ones go
    too, the latest promises being left short, and what the record lacks is found first, to be checked.
    """
    _require_something(bunches, stems)
    check_some(bunches)
    check_outputs(outputs)
    check_lost(lost)
    _check_stems_of_lines(bunches, stems, outputs, lost)
    check_stems(stems)
    loose = lock_loose(stems, on)
    _lock_lines(bunches, outputs)
    if not beyond_record:
        check_free(bunches, on)
    run = open_run(by=by, on=on, kind=Run.Kind.REWORK, label=_("Rework of %(on)s"), lost=lost, note=note)
    put_in(run, loose)
    use_materials(by, run, materials)
    used = rows_used(run, bunches)
    found = rows_lacking(used, on, str(_("reworked beyond the record"))) if beyond_record else []
    post(by=by, on=on, rows=[*found, *used, *rows_made(by, run, outputs)], takes_promised=beyond_record)
    return run


def _check_stems_of_lines(
    bunches: Sequence[Bunches], stems: Sequence[Stems], outputs: Sequence[Output], lost: int
) -> None:
    """Refuse stems that do not add up, where weights and pieces leave no doubt how many there are."""
    came_out = [stems_said(output) for output in outputs]
    sizes = [(batch.line.unit, batch.line.stems or 0, number) for batch, _box, number in bunches]
    if None in came_out or any(unit != Line.Unit.BUNCH for unit, _size, _number in sizes):
        return
    went_in = sum(size * number for _unit, size, number in sizes) + sum(number for _, number in stems)
    check_adds_up(went_in, sum(one or 0 for one in came_out), lost)


@action("boxes")
def make_up(
    *, by: User, on: date, outputs: Sequence[Output], bunches: Sequence[Bunches] = (), stems: Sequence[Stems] = (),
    fresh: Sequence[tuple[Lot, int]] = (), materials: Materials = (), note: str = "",
) -> Run:
    """Record goods made up of bunches, loose stems, fresh stems and materials, by recipe or freely."""
    _require_something(bunches, stems, fresh, materials)
    check_some(bunches)
    check_outputs(outputs)
    check_stems(stems)
    lock_lots(fresh)
    loose = lock_loose(stems, on)
    _lock_lines(bunches, outputs)
    check_free(bunches, on)
    run = open_run(by=by, on=on, kind=Run.Kind.MAKING_UP, label=_("Making up of %(on)s"), note=note)
    put_in(run, loose)
    put_in_fresh(by, run, fresh)
    use_materials(by, run, materials)
    post(by=by, on=on, rows=[*rows_used(run, bunches), *rows_made(by, run, outputs)])
    return run


def _require_something(*used: Sequence[object]) -> None:
    if not any(used):
        raise refusal(None, _("Say what it was made from."), code="no_inputs")


def _lock_lines(bunches: Sequence[Bunches], outputs: Sequence[Output]) -> None:
    lock_lines([*(batch.line_id for batch, _box, _number in bunches), *(output.line for output in outputs)])


@action("money")
def buy_in(
    *, by: User, on: date, supplier: str, outputs: Sequence[Output], net: int, tax: int, kind: CostKind,
    reference: str = "", note: str = "",
) -> Run:
    """Record bunches bought from somebody else, boxed at what they cost: a purchase spent on their run."""
    check_outputs(outputs)
    lock_lines(output.line for output in outputs)
    run = open_run(by=by, on=on, kind=Run.Kind.BOUGHT_IN, label=_("Bought in on %(on)s"), note=note)
    line = BoughtLine(str(_("bunches bought in")), kind, net, tax, [(run.cost_object, 1)])
    record_purchase(by=by, on=on, supplier=supplier, reference=reference, lines=[line])
    post(by=by, on=on, rows=rows_made(by, run, outputs))
    return run


@action("money")
def undo_buying_in(*, by: User, run: Run) -> Run:
    """Undo bunches bought in that have not gone anywhere yet, with their purchase; by whoever may buy in."""
    if run.kind != Run.Kind.BOUGHT_IN:
        raise refusal(None, _("These bunches were not bought in. Undo their run instead."), code="not_bought_in")
    return undo_run(by=by, run=run)
