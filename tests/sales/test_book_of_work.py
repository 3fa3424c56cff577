"""The stock book names the job or workshop bunches were taken for and came back from."""

from collections.abc import Callable

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from ledger.facts.models import User
from ledger.sales.actions import Sold, bring_bunches_back, sell, take_bunches_for
from ledger.stock.models import Movement
from tests.factories.jobs import HELD, JobFactory
from tests.factories.pricing import StallFactory
from tests.factories.sales import ready
from tests.factories.workshops import HELD as WORKSHOP_HELD
from tests.factories.workshops import WorkshopFactory

As = Callable[[User], Client]


@pytest.mark.parametrize(("make", "on"), [(JobFactory, HELD), (WorkshopFactory, WORKSHOP_HELD)])
def test_a_row_says_for_what_it_was_taken(owner: User, client_as: As, make: Callable, on: object) -> None:
    """On the stock book, on the pages of its line, batch and box, and as the heading of the row itself."""
    work, stock = make(), ready()
    taken = take_bunches_for(by=owner, work=work, on=on, line=stock.line, bunches=4)
    bring_bunches_back(by=owner, taken=taken, on=on, bunches=1, box=stock.box)
    client = client_as(owner)

    pages = [reverse("stock:movements"), *(one.get_absolute_url() for one in (stock.line, stock.batch, stock.box))]
    for url in pages:
        page = client.get(url).content.decode()
        assert f"taken for {work}" in page and f"came back from {work}" in page, url
        assert "<td>sold</td>" not in page and "<td>returned</td>" not in page, url
    row = Movement.objects.get(kind="sold")
    assert f"taken for {work}, " in client.get(row.get_absolute_url()).content.decode()


def test_what_was_sold_is_called_sold(owner: User) -> None:
    """Over the counter."""
    stock, way = ready(), StallFactory()
    sell(by=owner, on=HELD, way=way, lines=[Sold(1, line=stock.line, price=500)])
    assert [row.happened for row in Movement.objects.leaf().filter(kind="sold")] == ["sold"]


def test_the_stock_book_asks_as_often_for_many_takings(owner: User, client_as: As) -> None:
    """One taking and one back, or four of each for four jobs."""
    stock, client, asked = ready(40), client_as(owner), []
    for number in (1, 3):
        for _again in range(number):
            taken = take_bunches_for(by=owner, work=JobFactory(), on=HELD, line=stock.line, bunches=4)
            bring_bunches_back(by=owner, taken=taken, on=HELD, bunches=1)
        for url in (reverse("stock:movements"), stock.line.get_absolute_url()):
            with CaptureQueriesContext(connection) as queries:
                client.get(url)
            asked.append(len(queries))
    assert asked[:2] == asked[2:]
