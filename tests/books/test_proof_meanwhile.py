"""The proof while somebody writes."""

from datetime import date

import pytest
from django.db import connection

from ledger.books.queries import proof
from ledger.books.queries.places import totals
from ledger.reckoning.sharing import MILLION
from tests.factories.daybook import PurchaseFactory, bought
from tests.thread import spin_thread

YEAR_END = date(2024, 12, 31)


@pytest.fixture
def writes(owner, monkeypatch):
    """One pound spent after the book was read and before what was entered is added up, as often as said; the readings."""
    planting, read, readings = spin_thread(owner).planting, proof.places_on, []

    def so_often(times):
        def places_on(*given):
            readings.append(connection.in_atomic_block)
            if len(readings) <= times:
                PurchaseFactory(on=YEAR_END, lines=[bought(net=100, tax=0, spent_on=[(planting.cost_object, 1)])])
            return read(*given)

        monkeypatch.setattr(proof, "places_on", places_on)
        return readings

    return so_often


@pytest.mark.parametrize(("times", "read"), [(0, 1), (1, 2), (2, 3)])
def test_what_was_written_meanwhile_is_no_difference(writes, times, read):
    """Read again until nobody wrote: every pound is in its place."""
    before = totals(proof.prove(YEAR_END).places).paid
    readings = writes(times)
    found = proof.prove(YEAR_END)

    assert (found.differences, len(readings)) == ([], read)
    assert totals(found.places).paid - before == times * 100 * MILLION


@pytest.mark.django_db(transaction=True, serialized_rollback=True)
def test_after_three_tries_it_is_read_once_under_the_lock(writes):
    """Nobody can write while the fourth reading goes on."""
    readings = writes(3)
    found = proof.prove(YEAR_END)

    assert found.differences == []
    assert readings == [False, False, False, True]


@pytest.mark.unproved
def test_a_book_that_cannot_be_made_is_named(owner, monkeypatch):
    """Facts that do not fit one another are a difference, where nobody wrote."""
    def broken(on):
        raise KeyError("lot 7")

    monkeypatch.setattr(proof, "fresh_book", broken)
    assert proof.prove(YEAR_END).differences == ["the cost book cannot be made: 'lot 7'"]
