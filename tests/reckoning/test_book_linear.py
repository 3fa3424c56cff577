"""The cost book against the same season solved as a linear system.

Every case worked by hand is solved as well: `checked` of test_book_hand_worked does it.
"""

from dataclasses import replace
from datetime import date

import pytest
from hypothesis import given, settings

from ledger.reckoning.book import Book, LotFact, PartingFact, make_book
from tests.reckoning.linear import differences, solved
from tests.reckoning.seasons import seasons
from tests.reckoning.test_book_hand_worked import DAY, LOT, PLANTING, facts, planting, spent

MILLIONTHS = 7_000_000


@given(seasons())
@settings(max_examples=100, deadline=None)
def test_random_season_agrees_within_a_millionth_a_parting(facts):
    """Every node and every place of rest, element by element."""
    assert differences(make_book(facts)) == []


def season(amount=MILLIONTHS, thrown=1):
    """Three stems cut, one sold fresh, so many thrown out, the rest in water."""
    partings = [PartingFact(1, LOT, DAY, "sold_fresh", 1)]
    partings += [PartingFact(2, LOT, DAY, "thrown_out", thrown)] if thrown else []
    return facts(
        on=date(2025, 12, 31), plantings=[planting()], spending=[spent(PLANTING, amount)],
        lots=[LotFact(LOT, PLANTING, DAY, 3)], partings=partings,
    )


def test_shares_are_not_rounded():
    """7 parted in two is 3.5 and 3.5, of three partings at most."""
    answer = solved(season())

    assert answer.amount(("rest", "in water"), ("growing", "inputs")) == pytest.approx(MILLIONTHS / 2)
    assert 1 <= answer.partings(("rest", "in water")) <= 4


@pytest.mark.parametrize("other", [season(amount=MILLIONTHS + 20), season(thrown=0)])
def test_a_book_of_other_facts_does_not_agree(other):
    """Twenty millionths more spent, or a stem fewer thrown out, and the two differ."""
    graph = make_book(season()).graph

    assert differences(Book(season(), graph)) == []
    assert differences(Book(other, graph)) != []


def test_a_cost_that_lost_its_way_is_found():
    """A parting's cost put to rest in another place is missed in one and too much in the other."""
    book = make_book(season())
    (lot,) = [node for node in book.graph.nodes.values() if node.key == ("lot", LOT)]
    lot.standings = [replace(at, place="drawn") if at.place == "in water" else at for at in lot.standings]

    found = differences(book)
    assert [name for name in ("drawn", "in water") if any(name in line for line in found)] == ["drawn", "in water"]
