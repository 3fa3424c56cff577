"""Questions that workshops answer, each by its own name."""

from __future__ import annotations

from typing import Any, Self

from django.db.models import Case, Exists, F, OuterRef, QuerySet, Value, When

from ledger.drying.queries import total
from ledger.facts.models import FactQuerySet

from .sets import rows

TO_COME, HELD, CALLED_OFF = "to_come", "held", "called_off"


def _of_workshop(model: str) -> QuerySet:
    return rows(model).standing().filter(workshop=OuterRef("pk"))


class WorkshopQuerySet(FactQuerySet):
    """Workshops, their places and how they stand now."""

    def with_state(self) -> Self:
        """Add `stands_as`: to come, held or called off."""
        return self.annotate(
            stands_as=Case(
                When(Exists(_of_workshop("WorkshopHeld")), then=Value(HELD)),
                When(Exists(_of_workshop("WorkshopCalledOff")), then=Value(CALLED_OFF)), default=Value(TO_COME),
            )
        )

    def with_places(self) -> Self:
        """Add `sold` (places sold less given back), `left`, and `held_money` (paid less returned, minor units)."""
        sold, back = rows("PlacesSold").standing(), rows("PlacesGivenBack").standing()
        worth: Any = F("places") * F("price")
        return self.annotate(
            sold=total(sold, "workshop", "places") - total(back, "sold__workshop", "places"),
            held_money=total(sold.annotate(worth=worth), "workshop", "worth") - total(back, "sold__workshop", "returned"),
        ).annotate(left=F("places") - F("sold"))

    def whole(self) -> Self:
        """With the records its row shows."""
        return self.select_related("way", "recorded_by")
