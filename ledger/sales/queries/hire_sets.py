"""Questions that things for hire answer, each by its own name."""

from __future__ import annotations

from datetime import date
from typing import Self

from django.db.models import F, QuerySet

from ledger.drying.queries import total

from .sets import rows


class HireItemQuerySet(QuerySet):
    """Things for hire and how many there are."""

    def with_numbers(self, on: date) -> Self:
        """Add `owned` (counted less broken and lost ones) and `out` (left and not back) at the end of a day."""
        outs, backs = rows("HireOut").standing_on(on), rows("HireBack").standing_on(on)
        return self.annotate(
            broken=total(backs, "hire__item", "broken"), whole=total(backs, "hire__item", "whole"),
            counted=total(rows("HireItemCount").standing_on(on), "item", "more"), went=total(outs, "hire__item", "quantity"),
        ).annotate(owned=F("counted") - F("broken"), out=F("went") - F("whole") - F("broken"))
