"""What a customer agreed to of a job, and what of it was quoted otherwise since."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date

from django.utils import timezone
from django.utils.functional import cached_property
from django.utils.translation import gettext as _

from ledger.sales.models import Job, JobAgreed, JobHire, JobPiece

Quoted = JobPiece | JobHire


@dataclass(frozen=True)
class Since:
    """One thing quoted otherwise since the customer agreed: the day, in words without money."""

    on: date
    says: str


class Agreed:
    """What stood of a job as the customer's agreement was entered, by the moments its pieces and hires were entered or undone.

    What was entered later for a day before the agreement stood then too. `agreed` None: nobody agreed yet.
    """

    def __init__(self, job: Job) -> None:
        """Three statements."""
        self.agreed: JobAgreed | None = job.agreements.standing().first()
        self.pieces: Sequence[JobPiece] = list(JobPiece.objects.filter(job=job).order_by("on", "pk"))
        self.hires: Sequence[JobHire] = list(JobHire.objects.filter(job=job).select_related("item").order_by("on", "pk"))
        self._in_place_of = {one.replaces_id: one for one in self.pieces if one.replaces_id}

    @property
    def amount(self) -> int:
        """The sum agreed to, as the job's way keeps its prices, minor units; nil where nobody agreed."""
        quoted: list[Quoted] = [*self.pieces, *self.hires]
        return sum(one.amount for one in quoted if self._stood(one))

    @property
    def before(self) -> list[JobPiece]:
        """Pieces left out or quoted otherwise before the customer agreed."""
        return [one for one in self.pieces if one.undone_at and not self._ended_since(one)]

    @cached_property
    def since(self) -> list[Since]:
        """What was changed, added or left out since, in order of day."""
        if self.agreed is None:
            return []
        return sorted([*self._of_pieces(), *self._of_hires()], key=lambda one: one.on)

    def _stood(self, one: Quoted) -> bool:
        if self.agreed is None or not self._known(one):
            return False
        anew = self._in_place_of.get(one.pk) if isinstance(one, JobPiece) else None
        return (one.undone_at is None or one.undone_at > self.agreed.recorded_at) and not (anew and self._stood(anew))

    def _known(self, one: Quoted) -> bool:
        """Whether it was entered before the agreement, or for a day before it."""
        assert self.agreed is not None
        return one.recorded_at <= self.agreed.recorded_at or one.on < self.agreed.on

    def _ended_since(self, one: Quoted) -> bool:
        """Whether it was left out or replaced since; not where what replaced it was said of a day before."""
        if self.agreed is None or one.undone_at is None or one.undone_at <= self.agreed.recorded_at:
            return False
        anew = self._in_place_of.get(one.pk) if isinstance(one, JobPiece) else None
        return anew is None or not self._known(anew)

    def _of_pieces(self) -> Iterator[Since]:
        for one in self.pieces:
            if not self._known(one) and not one.replaces_id:
                yield Since(one.on, _("added since it was agreed: %(what)s") % {"what": one})
            if self._ended_since(one):
                yield self._ended(one, self._in_place_of.get(one.pk))

    def _ended(self, one: JobPiece, anew: JobPiece | None) -> Since:
        if anew is None:
            return _left_out(one)
        return Since(anew.on, _("changed since it was agreed: %(what)s") % {"what": _changed(one, anew)})

    def _of_hires(self) -> Iterator[Since]:
        for one in self.hires:
            if not self._known(one):
                yield Since(one.on, _("added since it was agreed: %(what)s") % {"what": one})
            if self._ended_since(one):
                yield _left_out(one)


def _left_out(one: Quoted) -> Since:
    """The day it was undone."""
    assert one.undone_at is not None
    return Since(timezone.localdate(one.undone_at), _("left out since it was agreed: %(what)s") % {"what": one})


def _changed(one: JobPiece, anew: JobPiece) -> str:
    """What is otherwise: how many or the name, else the price, else what goes into it."""
    if (one.quantity, one.name) != (anew.quantity, anew.name):
        return _("%(before)s, now %(now)s") % {"before": one, "now": anew}
    if one.price != anew.price:
        return _("%(what)s, at another price") % {"what": anew}
    return _("%(what)s, its parts, work or note") % {"what": anew}
