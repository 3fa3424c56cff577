"""A whole count sheet of a stock-take noted at once."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date

from django.utils.translation import gettext_lazy as _

from ledger.facts.models import User
from ledger.facts.writing import action, refusal
from ledger.stock.models import Batch, Box, StockTake, TakeCounted

from .book import lock_lines
from .takes import count_in_take

Sheet = Mapping[Box | None, Mapping[Batch, int]]


@action("boxes")
def count_sheet(*, by: User, on: date, take: StockTake, counted: Sheet) -> list[TakeCounted]:
    """Note what was counted in every place of a sheet (None: what is not yet boxed), all of it or nothing.

    Nothing is put right yet; a batch counted before is counted anew in its place.
    """
    if not any(counted.values()):
        raise refusal(None, _("Give at least one number."), code="nothing_counted")
    lock_lines(batch.line_id for batches in counted.values() for batch in batches)
    return [
        row for box, batches in counted.items() if batches
        for row in count_in_take(by=by, on=on, take=take, box=box, counted=batches)
    ]
