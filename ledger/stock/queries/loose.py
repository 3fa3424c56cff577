"""Loose stems: sound and not yet bunched."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

from django.db.models import F

from ledger.drying.queries import HangingQuerySet, total

from .running import lowest_from
from .sets import rows_of

if TYPE_CHECKING:
    from ledger.drying.models import Hanging


def with_loose(hangings: HangingQuerySet, on: date) -> HangingQuerySet:
    """Add `sound`, `bunched` and `loose`: sound stems not yet bunched at the end of that day."""
    used = rows_of("RunInput").filter(run__undone_at__isnull=True, run__on__lte=on)
    return hangings.with_sound(on).annotate(bunched=total(used, "hanging", "stems"), loose=F("sound") - F("bunched"))


def lowest_loose(hanging: Hanging, on: date) -> int:
    """The fewest sound stems loose on `on` or any later day."""
    down = hanging.takings.standing().values_list("on", "sound")
    used = rows_of("RunInput").filter(hanging=hanging, run__undone_at__isnull=True).values_list("run__on", "stems")
    return lowest_from([*down, *((day, -stems) for day, stems in used)], on)
