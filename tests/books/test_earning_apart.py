"""Bed earnings beside the same figures worked out again from the bare tables."""

from datetime import date

import pytest

from ledger.books.queries.earning import bed_earnings
from ledger.reckoning.sharing import MILLION
from tests.books.apart.recomputed import Recomputed
from tests.books.apart.season import KINDS, Season

ON = date(2024, 12, 31)
PARTINGS_PASSED = 60


@pytest.mark.parametrize("turn", [0, 7, 13])
def test_every_figure_of_a_mixed_season_agrees(owner, turn):
    """Five beds, mixed bunches, wreaths, a stall day and an order: every figure of every bed, a millionth a parting apart."""
    Season(owner, turn).make()
    apart, rows = Recomputed().work_out(), bed_earnings(2024, ON)

    assert {row.planting.pk for row in rows} == set(apart) and len(rows) == len(KINDS)
    for row in rows:
        wanted = apart[row.planting.pk]
        found = {"income": row.income, "cost": row.cost, "unsold": row.unsold, "contribution": row.contribution}
        for name, exact in (
            ("income", wanted.income), ("cost", wanted.cost), ("unsold", wanted.unsold),
            ("contribution", wanted.income - wanted.cost + wanted.space),
        ):
            assert abs(found[name] - exact * MILLION) <= PARTINGS_PASSED, (row.planting, name)
        assert abs(row.minutes - wanted.minutes) < 5


def test_the_season_tests_something(owner):
    """Every planting of it has income, cost, hours and something unsold or made up."""
    Season(owner, 0).make()
    sums = Recomputed().work_out().values()

    assert all(one.income and one.cost and one.space and one.minutes for one in sums)
    assert sum(bool(one.unsold) for one in sums) == len(KINDS)
