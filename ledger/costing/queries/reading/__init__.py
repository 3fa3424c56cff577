"""The facts of the path read as plain numbers, in a fixed number of queries."""

from __future__ import annotations

from datetime import date, datetime

from ledger.facts.models import CostObject
from ledger.facts.queries import holding
from ledger.reckoning.book import Calendar, CostFacts

from ..spending import spending_as_of
from .drying import hangings_as_of, oddments_as_of
from .growing import lots_as_of, partings_as_of, plantings_as_of
from .materials import counts_as_of, uses_as_of
from .space import spaces_as_of
from .stock import movements_as_of, runs_as_of


def read_facts(on: date, known: datetime | None = None) -> CostFacts:
    """All the facts of the path up to a day, as known at a moment (None: now)."""
    spending, unbooked = spending_as_of(on, known)
    kept = holding()
    return CostFacts(
        on=on,
        calendar=Calendar(kept.year_end_month, kept.year_end_day, kept.season_first_month),
        kinds_of=dict(CostObject.objects.values_list("pk", "kind")),
        spending=spending,
        unbooked=unbooked,
        spaces=spaces_as_of(on, known),
        plantings=plantings_as_of(on, known),
        lots=lots_as_of(on, known),
        partings=partings_as_of(on, known),
        hangings=hangings_as_of(on, known),
        oddments=oddments_as_of(on, known),
        runs=runs_as_of(on, known),
        movements=movements_as_of(on, known),
        uses=uses_as_of(on, known),
        counts=counts_as_of(on, known),
    )
