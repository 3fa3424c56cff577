"""The pieces of a job: quoted, quoted anew, dropped."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from django.utils.translation import gettext_lazy as _

from ledger.daybook.models import Material
from ledger.facts.actions import undo_within
from ledger.facts.models import User
from ledger.facts.writing import action, keep, record, refusal
from ledger.growing.models import Variety
from ledger.sales.models import Job, JobPiece, PiecePart
from ledger.stock.models import Line

from .jobs import lock_open_job


@dataclass(frozen=True)
class Part:
    """So much of one thing in one of a piece.

    Of a `line`: stems where it is bunched by stems, else its units; of a `variety`: fresh stems; of a `material`: its units;
    or something `bought` in, each at a net `cost`, minor units.
    """

    quantity: int
    line: Line | None = None
    variety: Variety | None = None
    material: Material | None = None
    bought: str = ""
    cost: int = 0


@action("selling")
def add_piece(
    *, by: User, job: Job, on: date, name: str, quantity: int, price: int, minutes: int = 0, parts: Sequence[Part] = (),
    note: str = "",
) -> JobPiece:
    """Quote so many of a piece, each at a price as the job's way keeps prices, minor units; `minutes` of work on one."""
    job = lock_open_job(job, on)
    piece = JobPiece(on=on, job=job, name=name.strip(), quantity=quantity, price=price, minutes=minutes, note=note)
    return _quoted(by, piece, parts)


@action("selling")
def change_piece(
    *, by: User, piece: JobPiece, on: date, name: str, quantity: int, price: int, minutes: int = 0,
    parts: Sequence[Part] = (), note: str = "",
) -> JobPiece:
    """Quote a piece anew in the place of the one before."""
    job = lock_open_job(piece.job, on)
    before = undo_within(piece, by=by)
    anew = JobPiece(on=on, job=job, name=name.strip(), quantity=quantity, price=price, minutes=minutes, note=note)
    return _quoted(by, anew, parts, before)


@action("selling")
def drop_piece(*, by: User, piece: JobPiece) -> JobPiece:
    """Drop a piece: it is quoted no more."""
    lock_open_job(piece.job)
    return undo_within(piece, by=by)


def _quoted(by: User, piece: JobPiece, parts: Sequence[Part], before: JobPiece | None = None) -> JobPiece:
    _check(parts)
    piece = record(piece, by=by, replaces=before)
    for part in parts:
        keep(
            PiecePart(
                piece=piece, line=part.line, variety=part.variety, material=part.material, bought=part.bought.strip(),
                cost=part.cost, quantity=part.quantity,
            )
        )
    return piece


def _check(parts: Sequence[Part]) -> None:
    """Refuse a part that is not one thing, one named twice, and a cost typed of what the ledger knows the cost of."""
    for part in parts:
        if sum(map(bool, (part.line, part.variety, part.material, part.bought.strip()))) != 1:
            raise refusal(
                "parts", _("A part is one thing: a bunch line, fresh stems, a material or something bought in."), code="one_thing"
            )
        if part.cost and not part.bought:
            raise refusal(
                "parts", _("Only what is bought in has a cost typed; the ledger knows the rest."), code="cost_known"
            )
    things = [(part.line, part.variety, part.material) for part in parts if not part.bought]
    if len(set(things)) < len(things):
        raise refusal("parts", _("A part is named twice. Name it once, with all of it."), code="twice")
