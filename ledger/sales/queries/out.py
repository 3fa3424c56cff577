"""What customers have on sale or return."""

from __future__ import annotations

from datetime import date

from django.db.models import Sum

from ledger.sales.models import HandedOver
from ledger.stock.models import Movement


def out_on_return(on: date) -> dict[int, int]:
    """By batch: bunches that customers had on sale or return at the end of a day."""
    boxes = HandedOver.objects.standing_on(on).values("parcel__box")
    rows = Movement.objects.standing_on(on).filter(box__in=boxes).values_list("batch")
    return dict(rows.annotate(n=Sum("bunches")).filter(n__gt=0).order_by("batch"))
