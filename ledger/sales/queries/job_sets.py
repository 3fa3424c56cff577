"""Questions that jobs answer, each by its own name."""

from __future__ import annotations

from datetime import date
from typing import Any, Self

from django.db.models import Case, Exists, F, OuterRef, Q, QuerySet, Subquery, Value, When

from ledger.drying.queries import total
from ledger.facts.models import FactQuerySet
from ledger.stock.queries.sets import rows_of

from .sets import rows

ASKED, AGREED, DONE, CANCELLED = "asked", "agreed", "done", "cancelled"


def _of_job(model: str) -> QuerySet:
    return rows(model).standing().filter(job=OuterRef("pk"))


def _said(field: str) -> Case:
    """A field of a job as last said."""
    anew = _of_job("JobChange").order_by("-on", "-pk")
    return Case(When(Exists(anew), then=Subquery(anew.values(field)[:1])), default=F(field))


class JobQuerySet(FactQuerySet):
    """Jobs and how they stand now."""

    def as_said(self) -> Self:
        """Add `held_on_now` and `good_until_now`: the day of the job and how long its quote is good, as last said."""
        return self.annotate(held_on_now=_said("held_on"), good_until_now=_said("good_until"))

    def with_state(self) -> Self:
        """Add `is_agreed`, `is_done`, `is_cancelled` and `stands_as`: asked, agreed, done or cancelled."""
        return self.annotate(
            is_agreed=Exists(_of_job("JobAgreed")), is_done=Exists(_of_job("JobDone")),
            is_cancelled=Exists(_of_job("JobCancelled")),
        ).annotate(
            stands_as=Case(
                When(is_cancelled=True, then=Value(CANCELLED)), When(is_done=True, then=Value(DONE)),
                When(is_agreed=True, then=Value(AGREED)), default=Value(ASKED),
            )
        )

    def with_quoted(self) -> Self:
        """Add `quoted`: pieces and hires at their prices, minor units as the way keeps them."""
        of_all: Any = F("quantity") * F("price")
        pieces = rows("JobPiece").standing().annotate(worth=of_all)
        hires = rows("JobHire").standing().annotate(worth=of_all)
        return self.annotate(quoted=total(pieces, "job", "worth") + total(hires, "job", "worth"))

    def with_deposits(self) -> Self:
        """Add `deposits_in` (less given back), `deposits_on_invoices`, `deposits_kept`, `deposits_held`, minor units."""
        return self.annotate(
            deposits_in=total(rows("Deposit").standing(), "job", "amount"),
            deposits_on_invoices=total(rows("Payment").standing(), "deposit_of", "amount"),
            deposits_kept=total(rows("JobCancelled").standing(), "job", "kept"),
        ).annotate(deposits_held=F("deposits_in") - F("deposits_on_invoices") - F("deposits_kept"))

    def with_kept(self) -> Self:
        """Add `kept`: bunches its holds keep now."""
        changes = rows_of("HoldChange").standing()
        return self.annotate(kept=total(changes, "hold__job_hold__job", "bunches"))

    def with_standing(self) -> Self:
        """Add all of that: as said, its state, what is quoted, deposits and bunches kept."""
        return self.as_said().with_state().with_quoted().with_deposits().with_kept()

    def open(self) -> Self:
        """Standing ones neither done nor cancelled."""
        return self.standing().exclude(Exists(_of_job("JobDone"))).exclude(Exists(_of_job("JobCancelled")))

    def held_between(self, first: date, last: date) -> Self:
        """Those whose day, as last said, lies within."""
        return self.as_said().filter(Q(held_on_now__gte=first) & Q(held_on_now__lte=last))

    def whole(self) -> Self:
        """With the records its row shows."""
        return self.select_related("customer", "way", "recorded_by")
