"""Rows of a fact as they stood on a day."""

from collections.abc import Iterable
from datetime import date, datetime
from decimal import Decimal
from typing import Any

from ledger.facts.models import Fact


def rows_as_of(model: type[Fact], on: date, known: datetime | None, *fields: str) -> Iterable[tuple[Any, ...]]:
    """The named fields of every fact standing on a day, as known at a moment, by (day, key)."""
    return model.objects.as_of(on, known).order_by("on", "pk").values_list(*fields)


def hundredths(area: Decimal | None) -> int:
    """An area in whole hundredths of m2, nil where there is none."""
    return int((area or 0) * 100)
