"""Which market a sale is at."""

from __future__ import annotations

from collections.abc import Sequence

from ledger.sales.models import StallDay, StallLoad
from ledger.stock.models import Box


def market_of(days: Sequence[StallDay], box: Box | None) -> StallDay | None:
    """The one of some markets that a sale (from a box, None: from anywhere) is at, None where that cannot be said.

    A box is at the market it was loaded for; one loaded for none may be at a market that loaded no box at all.
    """
    left = list(days)
    if box is not None and left:
        loads = StallLoad.objects.standing().filter(stall_day__in=left)
        loaded: set[tuple[int, int]] = set(loads.values_list("stall_day", "box"))
        with_loads = {day for day, _box in loaded}
        left = [day for day in days if (day.pk, box.pk) in loaded] or [day for day in days if day.pk not in with_loads]
    return left[0] if len(left) == 1 else None
