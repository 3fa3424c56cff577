"""What most tests of stock begin with."""

from datetime import date

import pytest

from ledger.stock.actions import begin_take
from tests.factories.stock import BoxFactory, LineFactory, batch_of


@pytest.fixture
def as_owner(owner, client_as):
    """The owner's browser."""
    return client_as(owner)


@pytest.fixture
def line(owner):
    """A line of ten stems to the bunch."""
    return LineFactory(stems=10)


@pytest.fixture
def box(owner):
    """A box on a shelf."""
    return BoxFactory()


@pytest.fixture
def batch(line, box):
    """Twenty bunches of 1 August in the box."""
    return batch_of(line, 20, box=box)


@pytest.fixture
def take(owner):
    """A stock-take of everything, begun on the 5th."""
    return begin_take(by=owner, on=date(2024, 8, 5))
