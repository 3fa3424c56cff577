"""All that goes along to a job or a workshop in one step, and all that comes back."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from typing import TypeVar

from django.utils.translation import gettext_lazy as _

from ledger.facts.models import User
from ledger.facts.writing import action, refusal
from ledger.growing.models import Lot
from ledger.sales.models import Job, Taken, Workshop
from ledger.sales.queries.taken import bunches_out, taken_of
from ledger.stock.actions import lock_lines
from ledger.stock.models import Box, Line

from .taking import bring_bunches_back, bring_stems_back, lock_work, take_bunches_for, take_stems_for

K = TypeVar("K", Line, Lot)


@action("packing")
def take_along(
    *, by: User, work: Job | Workshop, on: date, bunches: Mapping[Line, int] | None = None,
    stems: Mapping[Lot, int] | None = None, box: Box | None = None,
) -> Job | Workshop:
    """Take bunches of lines (from a box, else the oldest first) and fresh stems of lots for a job or a workshop, all or none."""
    work, bunches, stems = _locked(work, bunches, stems)
    for lot in _by_key(stems):
        take_stems_for(by=by, work=work, on=on, lot=lot, stems=stems[lot])
    for line in _by_key(bunches):
        take_bunches_for(by=by, work=work, on=on, line=line, bunches=bunches[line], box=box)
    return work


@action("packing")
def bring_back_from(
    *, by: User, work: Job | Workshop, on: date, bunches: Mapping[Line, int] | None = None,
    stems: Mapping[Lot, int] | None = None, box: Box | None = None,
) -> Job | Workshop:
    """Bring bunches of lines back into a box (None: not yet boxed) and stems of lots into water, the last taken first."""
    work, bunches, stems = _locked(work, bunches, stems)
    for lot in _by_key(stems):
        _stems_back(by, [one for one in taken_of(work, on) if one.parting and one.parting.lot_id == lot.pk], stems[lot])
    for line in _by_key(bunches):
        _bunches_back(by, on, [one for one in taken_of(work, on) if one.line_id == line.pk], bunches[line], box)
    return work


def _locked(
    work: Job | Workshop, bunches: Mapping[Line, int] | None, stems: Mapping[Lot, int] | None
) -> tuple[Job | Workshop, Mapping[Line, int], Mapping[Lot, int]]:
    """The work, then lots, then lines, each locked in order of key; refused where nothing is named."""
    bunches, stems = bunches or {}, stems or {}
    if not bunches and not stems:
        raise refusal(None, _("Say how many of what."), code="nothing_said")
    work = lock_work(work)
    for lot in _by_key(stems):
        Lot.objects.select_for_update(no_key=True).get(pk=lot.pk)
    lock_lines(bunches)
    return work, bunches, stems


def _by_key(numbers: Mapping[K, int]) -> list[K]:
    return sorted(numbers, key=lambda one: one.pk)


def _bunches_back(by: User, on: date, takings: list[Taken], bunches: int, box: Box | None) -> None:
    out = {one: bunches_out(one) for one in takings}
    _require_out("bunches", bunches, sum(out.values()))
    for one, there in out.items():
        if number := min(there, bunches):
            bring_bunches_back(by=by, taken=one, on=on, bunches=number, box=box)
        bunches -= number


def _stems_back(by: User, takings: list[Taken], stems: int) -> None:
    _require_out("stems", stems, sum(one.quantity for one in takings))
    for one in takings:
        if number := min(one.quantity, stems):
            bring_stems_back(by=by, taken=one, stems=number)
        stems -= number


def _require_out(field: str, number: int, out: int) -> None:
    if number < 1:
        raise refusal(field, _("Give at least one."), code="too_few")
    if number > out:
        raise refusal(field, _("Only %(out)d of them are still out."), code="too_many", out=out)
