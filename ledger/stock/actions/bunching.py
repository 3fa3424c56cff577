"""Bunching runs: loose stems in, batches out; and undoing a run of any kind."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date

from django.core.exceptions import PermissionDenied
from django.utils.translation import gettext_lazy as _

from ledger.daybook.actions import undo_material_use, undo_purchase
from ledger.daybook.models import Purchase, PurchaseShare
from ledger.facts.actions import undo_within
from ledger.facts.models import User
from ledger.facts.writing import action, mark_undone, refusal, require_standing
from ledger.growing.models import Parting
from ledger.stock.models import Batch, Movement, Run
from ledger.stock.queries import found_for

from .book import lock_lines, post, unpost
from .inputs import Stems, check_stems, lock_loose, put_in
from .outputs import Output, check_adds_up, check_lost, check_outputs, open_run, rows_made, stems_said


@action("boxes")
def make_run(
    *, by: User, on: date, inputs: Sequence[Stems], outputs: Sequence[Output], lost: int = 0, note: str = ""
) -> Run:
    """Record a bunching run: its loose stems are bunched or lost in bunching, to the stem.

    Several hangings into a line with a name and no variety are mixed bunches.
    """
    if not inputs:
        raise refusal("inputs", _("Say which hangings the stems came from."), code="no_inputs")
    check_stems(inputs)
    check_outputs(outputs)
    check_lost(lost)
    check_adds_up(sum(stems for _, stems in inputs), sum(_stems_of(output) for output in outputs), lost)
    stems = lock_loose(inputs, on)
    lock_lines(output.line for output in outputs)
    run = open_run(by=by, on=on, kind=Run.Kind.BUNCHING, label=_("Bunching run of %(on)s"), lost=lost, note=note)
    put_in(run, stems)
    post(by=by, on=on, rows=rows_made(by, run, outputs))
    return run


def _stems_of(output: Output) -> int:
    stems = stems_said(output)
    if stems is None:
        raise refusal("outputs", _("Say how many stems went into %(line)s."), code="stems_missing", line=output.line)
    return stems


@action("boxes")
def undo_run(*, by: User, run: Run) -> Run:
    """Undo a run whose bunches have not gone anywhere yet, with all that went into it.

    Stems are loose again, fresh ones back in water, bunches where they lay,
    materials unused; what was bought in takes its purchase along.
    """
    run = Run.objects.lock(run)
    require_standing(run)
    batches = list(run.batches.standing().order_by("pk"))
    drawn = list(run.drawn.standing().select_related("batch").order_by("pk"))
    found = [row for one in drawn for row in found_for(one)]
    unpost(by=by, movements=[*_made_by(batches), *drawn, *found])
    for batch in batches:
        mark_undone(batch, by=by)
    for use in run.cost_object.material_uses.standing().order_by("pk"):
        undo_material_use(by=by, use=use)
    _undo_buying(by, run)
    undone = mark_undone(run, by=by)
    for fresh in Parting.objects.standing().filter(way=Parting.Way.MADE_UP, run_inputs__run=run).order_by("pk"):
        undo_within(fresh, by=by)
    return undone


def _made_by(batches: Iterable[Batch]) -> list[Movement]:
    movements = list(Movement.objects.standing().filter(batch__in=batches).select_related("batch").order_by("pk"))
    for movement in movements:
        if movement.kind != Movement.Kind.MADE:
            raise refusal(None, _("%(what)s rests on this. Undo that first."), code="rested_on", what=str(movement))
    return movements


def _undo_buying(by: User, run: Run) -> None:
    """Undo the purchase a bought-in run was entered with: one spent on nothing else; a bill with more on it stays."""
    if run.kind != Run.Kind.BOUGHT_IN:
        return
    if not by.may("money"):
        raise PermissionDenied(_("Your role does not allow this."))
    elsewhere = PurchaseShare.objects.exclude(spent_on=run.cost_object_id).values("purchase")
    on_it = Purchase.objects.standing().filter(shares__spent_on=run.cost_object_id).exclude(pk__in=elsewhere)
    bought = on_it.order_by("pk").first()
    if bought is not None:
        undo_purchase(by=by, purchase=bought)
