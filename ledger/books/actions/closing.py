"""Closing a year: its quantities and costs are frozen, and its days closed."""

from __future__ import annotations

from datetime import date

from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from ledger.costing.queries import Bases, fresh_book
from ledger.facts.models import LedgerState, User
from ledger.facts.queries import holding, today
from ledger.facts.writing import action, close_days, refusal
from ledger.reckoning.book import Book
from ledger.reckoning.years import year_bounds, year_of

from ..models import ClosedBatch, ClosedLine, ClosedPlace, YearClose
from ..queries.places import kept_by_node, last_close
from ..queries.proof_closed import frozen_batches, frozen_lines
from ..queries.valuing import stock_value_of


@action("books")
def close_year(*, by: User, on: date) -> YearClose:
    """Close the books up to and including the last day of a year.

    Freezes what every node of the path holds, each line by every method and
    each batch. Refused for a day that ends no year, has not passed or is closed.
    """
    state = LedgerState.objects.select_for_update(no_key=True).get(pk=1)
    year = _check_end(on, state.closed_until)
    made, bases = fresh_book(on), Bases(on)
    valued = stock_value_of(made, bases, on=on, method=holding().stock_method)
    close = YearClose(
        on=on, year=year, method=valued.method, closing_cost=valued.flows["closing_cost"],
        write_down=valued.write_down, recorded_at=timezone.now(), recorded_by=by,
    )
    close.full_clean()
    close.save(force_insert=True)
    _freeze(close, made, bases, {one.line.pk: one.write_down for one in valued.lines})
    close_days(on)
    return close


def _check_end(on: date, closed_until: date | None) -> int:
    kept = holding()
    ends = {"end_month": kept.year_end_month, "end_day": kept.year_end_day}
    year = year_of(on, **ends)
    if year_bounds(year, **ends)[1] != on:
        raise refusal("on", _("A year of this holding ends on %(end)s."), code="not_a_year_end", end=year_bounds(year, **ends)[1])
    if on >= today():
        raise refusal("on", _("That year is not over yet."), code="not_over")
    if closed_until is not None and on <= closed_until:
        raise refusal("on", _("The books are already closed up to %(until)s."), code="closed", until=closed_until)
    return year


def _freeze(close: YearClose, made: Book, bases: Bases, write_downs: dict[int, int]) -> None:
    ClosedPlace.objects.bulk_create(
        ClosedPlace(close=close, place=place, node=node, dated=dated, quantity=quantity, paid=at.paid, full=at.full)
        for (place, node, dated), (quantity, at) in kept_by_node(made, bases, last_close(close.on)).items()
    )
    ClosedLine.objects.bulk_create(
        ClosedLine(
            close=close, line_id=line, method=method, quantity=quantity, cost=cost,
            write_down=write_downs.get(line, 0) if method == close.method else 0,
        )
        for (line, method), (quantity, cost) in frozen_lines(made, bases).items()
    )
    ClosedBatch.objects.bulk_create(
        ClosedBatch(close=close, batch_id=batch, quantity=quantity, cost=cost)
        for batch, (quantity, cost) in frozen_batches(made, bases).items()
    )


@action("books")
def reopen_year(*, by: User, close: YearClose) -> YearClose:
    """Open the latest closed year again; its frozen figures are kept with the undone close."""
    LedgerState.objects.select_for_update(no_key=True).get(pk=1)
    close = YearClose.objects.lock(close)
    if not close.stands:
        raise refusal(None, _("This has already been undone."), code="already_undone")
    if YearClose.objects.standing().filter(on__gt=close.on).exists():
        raise refusal(None, _("A later year is closed. Open that first."), code="rested_on")
    close.undone_at, close.undone_by = timezone.now(), by
    close.save(update_fields=["undone_at", "undone_by"])
    earlier = YearClose.objects.standing().order_by("-on").first()
    close_days(earlier.on if earlier else None)
    return close
