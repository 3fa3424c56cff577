"""What goes into a run: loose stems, fresh stems, bunches from their boxes, materials."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date
from typing import TypeAlias

from django.utils.translation import gettext_lazy as _

from ledger.daybook.actions import use_material
from ledger.daybook.models import Material
from ledger.drying.models import Hanging, Oddments
from ledger.facts.models import User
from ledger.facts.writing import keep, refusal, require_standing
from ledger.growing.actions import part
from ledger.growing.models import Lot, Parting
from ledger.stock.models import Batch, Box, Movement, Run, RunInput
from ledger.stock.queries import held_back_by, lowest_free, lowest_in_place, lowest_loose

from .book import Row
from .boxes import require_no_parcel
from .putting_right import Apart, rows_found

Source: TypeAlias = Hanging | Parting | Oddments
Stems: TypeAlias = tuple[Source, int]
Bunches: TypeAlias = tuple[Batch, Box | None, int]
FIELDS = {Parting: "parting", Hanging: "hanging", Oddments: "oddments"}


def check_stems(inputs: Sequence[Stems]) -> None:
    """Refuse the same stems twice, or less than one."""
    if len({(type(source), source.pk) for source, _stems in inputs}) < len(inputs):
        raise refusal("inputs", _("A hanging is named twice."), code="twice")
    if any(stems < 1 for _, stems in inputs):
        raise refusal("inputs", _("Give at least one stem from each hanging."), code="too_few")


def check_some(bunches: Sequence[Bunches]) -> None:
    """Refuse less than one bunch from a place, and bunches packed for an order."""
    for _batch, box, number in bunches:
        if number < 1:
            raise refusal("bunches", _("Give at least one."), code="too_few")
        require_no_parcel(box)


def lock_loose(inputs: Iterable[Stems], on: date) -> list[Stems]:
    """Lock where loose stems come from, in order of kind and key; refuse more than are loose then and ever after."""
    kinds = list(FIELDS)
    locked = []
    for source, stems in sorted(inputs, key=lambda given: (kinds.index(type(given[0])), given[0].pk)):
        source = type(source).objects.lock(source)
        require_standing(source, "inputs")
        _require_loose(source, stems, on)
        locked.append((source, stems))
    return locked


def _require_loose(source: Source, stems: int, on: date) -> None:
    if isinstance(source, Parting) and source.way != Parting.Way.CUT_DRY:
        raise refusal("inputs", _("Of what left a lot only stems cut dry can be used here."), code="not_cut_dry")
    ever = lowest_loose(source, date.max)
    if stems > ever:
        raise refusal(
            "inputs", _("Only %(loose)d sound stems of %(hanging)s are loose."), code="too_many",
            loose=ever, hanging=source,
        )
    then = lowest_loose(source, on)
    if stems > then:
        raise refusal(
            "on", _("Only %(loose)d sound stems of %(hanging)s were loose on that day."), code="not_there_then",
            loose=max(then, 0), hanging=source,
        )


def put_in(run: Run, stems: Iterable[Stems]) -> None:
    """Record the stems a run used."""
    for source, number in stems:
        keep(RunInput(run=run, stems=number, **{FIELDS[type(source)]: source}))


def lock_lots(fresh: Sequence[tuple[Lot, int]]) -> None:
    """Lock the lots fresh stems come from, in order of key."""
    if len({lot.pk for lot, _stems in fresh}) < len(fresh):
        raise refusal("fresh", _("A lot is named twice."), code="twice")
    for lot, _stems in sorted(fresh, key=lambda given: given[0].pk):
        Lot.objects.lock(lot)


def put_in_fresh(by: User, run: Run, fresh: Iterable[tuple[Lot, int]]) -> None:
    """Let fresh stems leave their lots into what is made up."""
    for lot, stems in fresh:
        left = part(by=by, lot=lot, on=run.on, way=Parting.Way.MADE_UP, stems=stems)
        keep(RunInput(run=run, parting=left, stems=stems))


def rows_used(run: Run, bunches: Iterable[Bunches]) -> list[Row]:
    """The rows to post for the bunches a run used, a place once."""
    numbers: dict[tuple[Batch, Box | None], int] = {}
    for batch, box, number in bunches:
        numbers[batch, box] = numbers.get((batch, box), 0) + number
    return [Row(batch, box, -number, Movement.Kind.MADE_UP, run=run) for (batch, box), number in numbers.items()]


def rows_lacking(used: Iterable[Row], on: date, reason: str) -> list[Row]:
    """The rows that find first what is used beyond the record, to be checked."""
    lacking = []
    for row in used:
        there = lowest_in_place(row.batch.pk, row.box.pk if row.box else None, on)
        lacking.append(Apart(row.batch, row.box, max(-row.bunches - max(there, 0), 0), reason))
    return rows_found(on, lacking)


def check_free(bunches: Sequence[Bunches], on: date) -> None:
    """Refuse bunches that are promised; the lines' balances are locked.

    A box held back may be named: that is the grower's own say.
    """
    wanted: dict[int, int] = {}
    lines = {batch.line_id: batch.line for batch, _box, _number in bunches}
    for batch, box, number in bunches:
        kept_back = box is not None and held_back_by(box, on) is not None
        wanted[batch.line_id] = wanted.get(batch.line_id, 0) + (0 if kept_back else number)
    for key, number in wanted.items():
        free = max(lowest_free(lines[key], on), 0)
        if number > free:
            raise refusal(
                "bunches", _("Only %(free)d of %(line)s are free."), code="not_free", free=free, line=lines[key]
            )


def use_materials(by: User, run: Run, materials: Iterable[tuple[Material, int]]) -> None:
    """Note the materials a run used."""
    for material, quantity in materials:
        if quantity < 1:
            raise refusal("materials", _("Give at least one of each material."), code="too_few")
        use_material(by=by, material=material, on=run.on, quantity=quantity, spent_on=run.cost_object)
