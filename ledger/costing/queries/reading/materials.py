"""Materials used and counted."""

from datetime import date, datetime

from ledger.daybook.models import MaterialCount, MaterialUse
from ledger.reckoning import book as bk

from .rows import rows_as_of


def uses_as_of(on: date, known: datetime | None) -> list[bk.MaterialUse]:
    """Every use of a material."""
    rows = rows_as_of(MaterialUse, on, known, "pk", "material_id", "on", "quantity", "spent_on_id")
    return [bk.MaterialUse(*row) for row in rows]


def counts_as_of(on: date, known: datetime | None) -> list[bk.MaterialCount]:
    """Every count of a material."""
    return [bk.MaterialCount(*row) for row in rows_as_of(MaterialCount, on, known, "pk", "material_id", "on", "counted")]
