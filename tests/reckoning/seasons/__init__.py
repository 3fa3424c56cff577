"""Whole seasons made up at random, for properties of the cost book."""

from dataclasses import replace
from datetime import date

from hypothesis import strategies as st

from ledger.reckoning.book import Calendar, CostFacts, SpaceFact

from .drawn import HOLDING, OTHER_PLACE, OTHER_PLOT, PLACE, PLOT, STALL
from .field import Field

__all__ = ["scaled", "seasons"]
SPACES = [
    SpaceFact(PLOT, "plot", 10_000, {2025: (10**8, 900_000)}), SpaceFact(OTHER_PLOT, "plot", 8_000),
    SpaceFact(PLACE, "place", 20), SpaceFact(OTHER_PLACE, "place", 50, {2025: (10**9, 0), 2026: (0, 9_000)}),
]


@st.composite
def seasons(draw):
    """A season of a few plantings and of everything that can become of their stems, as of some day."""
    drawn = Field(draw)
    for spent_on in (PLOT, OTHER_PLOT, PLACE, OTHER_PLACE, HOLDING, STALL):
        drawn.spend(spent_on)
    for _ in range(draw(st.integers(1, 3))):
        drawn.plant()
    if draw(st.booleans()):
        drawn.bunch([], date(2025, 7, 1))
    drawn.supply()
    return standing(drawn, draw(st.dates(date(2025, 6, 1), date(2026, 6, 1))))


def standing(drawn, on):
    """What of a season stands by a day."""
    shown = {name: [row for row in rows if row.on <= on] for name, rows in drawn.rows.items()}
    shown["plantings"] = [_so_far(one, on) for one in shown["plantings"]]
    shown["hangings"] = [replace(one, takings=[row for row in one.takings if row[0] <= on]) for one in shown["hangings"]]
    return CostFacts(on=on, calendar=Calendar(), kinds_of=drawn.kinds, unbooked=5, spaces=SPACES, **shown)


def _so_far(planting, on):
    """A planting without what is only to come."""
    return replace(
        planting,
        cleared=planting.cleared if planting.cleared and planting.cleared <= on else None,
        ground=[one for one in planting.ground if one.on <= on],
        lives=[one for one in planting.lives if one[0] <= on],
        cut_over=[day for day in planting.cut_over if day <= on],
        divisions=[one for one in planting.divisions if one.on <= on],
    )


def scaled(facts, times):
    """The same season with every amount of money so many times larger."""
    return replace(
        facts,
        unbooked=facts.unbooked * times,
        spending=[replace(one, amount=one.amount * times) for one in facts.spending],
        spaces=[replace(one, years={y: (c * times, n) for y, (c, n) in one.years.items()}) for one in facts.spaces],
        plantings=[_planned(one, times) for one in facts.plantings],
        lots=[replace(one, values={way: value * times for way, value in one.values.items()}) for one in facts.lots],
        oddments=[replace(one, value=one.value * times) for one in facts.oddments],
        runs=[replace(run, batches=[_valued(batch, times) for batch in run.batches]) for run in facts.runs],
    )


def _planned(one, times):
    return replace(one, expected={s: (stems, planned and planned * times) for s, (stems, planned) in one.expected.items()})


def _valued(batch, times):
    return replace(batch, unit_value=batch.unit_value and batch.unit_value * times)
