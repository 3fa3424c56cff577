"""Verdicts on what a crop's income covered."""

import pytest

from ledger.reckoning.verdicts import Account, Paid, paid, paid_once_sold


@pytest.mark.parametrize(
    ("income", "covers"),
    [(101, Paid.BED_AND_WORK), (100, Paid.BED_AND_WORK), (99, Paid.WORK), (70, Paid.WORK), (69, Paid.NEITHER), (0, Paid.NEITHER)],
)
def test_income_against_a_cost_of_100_of_which_30_is_room(income, covers):
    """All it cost pays bed and work; all but the room pays the work alone; a unit less pays neither."""
    assert paid(Account(income, 100, 30)) is covers


def test_a_missing_figure_says_nothing():
    """Not known is not nil."""
    assert paid(None) is Paid.UNSAID


def test_what_the_unsold_fetches_counts_beside():
    """60 of 100 sold pays neither with room of 30; another 10 pays the work, another 40 all."""
    assert paid(Account(60, 100, 30, unsold=40, fetches=10)) is Paid.NEITHER
    assert paid_once_sold(Account(60, 100, 30, unsold=40, fetches=10)) is Paid.WORK
    assert paid_once_sold(Account(60, 100, 30, unsold=40, fetches=40)) is Paid.BED_AND_WORK


def test_contribution_leaves_room_out():
    """60 in, 100 out of which 30 is room: 40 short, 10 short without it."""
    assert (Account(60, 100, 30).earned, Account(60, 100, 30).contribution) == (-40, -10)


@pytest.mark.parametrize(("cost", "share"), [(300, 3333), (100, 10_000), (0, 0)])
def test_share_unsold_is_rounded_down_and_nil_of_nothing(cost, share):
    """100 of 300 at cost is 33.33 in a hundred."""
    assert Account(0, cost, unsold=100).unsold_bp == share
