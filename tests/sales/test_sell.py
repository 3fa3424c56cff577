"""Selling by retail: dried from boxes, fresh from lots."""

from datetime import date

import pytest
from django.core.exceptions import PermissionDenied

from ledger.facts.actions import set_tax_rate, set_tax_status
from ledger.facts.models import User
from ledger.pricing.actions import set_price
from ledger.sales.actions import Sold, open_stall_day, sell, undo_sale, undo_stall_day
from ledger.sales.models import Sale
from ledger.stock.models import Balance
from tests.factories.drying import LotFactory
from tests.factories.pricing import StallFactory
from tests.factories.sales import Ready, StallDayFactory, order_of, packed, ready
from tests.factories.stock import BoxFactory, batch_of, there
from tests.refusals import refused

ON = date(2024, 9, 7)


def test_a_sale_takes_the_oldest_batch_at_the_listed_price(owner: User) -> None:
    """Without a box or price: the oldest bunches, at the price of that day."""
    stock = ready(20)
    older = batch_of(stock.line, 2, on=date(2024, 7, 25))
    way = StallFactory()
    set_price(by=owner, way=way, line=stock.line, on=date(2024, 1, 1), amount=550)
    set_price(by=owner, way=way, line=stock.line, on=date(2024, 9, 8), amount=600)

    sale = sell(by=owner, on=ON, way=way, lines=[Sold(3, line=stock.line)])

    assert sale.lines.get().price == 550
    taken = sale.takings.order_by("pk").values_list("movement__batch", "movement__bunches")
    assert list(taken) == [(older.pk, -2), (stock.batch.pk, -1)]


def test_a_sale_keeps_the_rate_of_its_day(owner: User) -> None:
    """The tax rate in force is kept with the sale."""
    set_tax_status(by=owner, on=date(2024, 1, 1), status="registered", number="123")
    set_tax_rate(by=owner, on=date(2024, 1, 1), rate_bp=2000)
    stock = ready(20)

    sale = sell(by=owner, on=ON, way=StallFactory(), lines=[Sold(1, line=stock.line, price=550)])

    assert sale.rate_bp == 2000


def test_fresh_stems_leave_their_lot(owner: User) -> None:
    """A fresh sale points to what left the lot."""
    lot = LotFactory(stems=100)

    sale = sell(by=owner, on=ON, way=StallFactory(), lines=[Sold(30, lot=lot, price=40)])

    parting = sale.lines.get().parting
    assert parting is not None
    assert (parting.way, parting.stems, parting.on) == ("sold_fresh", 30, ON)


def test_a_sale_from_two_boxes_of_one_line(owner: User) -> None:
    """Each line of a sale takes from its own box."""
    stock = ready(20)
    other = BoxFactory(shelf="B2")
    batch = batch_of(stock.line, 5, box=other)

    sale = sell(
        by=owner, on=ON, way=StallFactory(),
        lines=[Sold(2, line=stock.line, price=5, box=stock.box), Sold(1, line=stock.line, price=5, box=other)],
    )

    assert there(batch) == [(other.code, 4)] and there(stock.batch) == [(stock.box.code, 18)]
    assert sale.takings.count() == 2


def test_what_was_sold_beyond_the_record_is_found_first(owner: User) -> None:
    """What has happened is never refused: three more than recorded are found, to be checked."""
    stock = ready(20)

    sale = sell(by=owner, on=ON, way=StallFactory(), lines=[Sold(23, line=stock.line, price=550)], beyond_record=True)

    found = stock.batch.movements.get(kind="found")
    assert (found.bunches, found.to_check) == (3, True)
    assert sum(-taking.movement.bunches for taking in sale.takings.all()) == 23


def test_undoing_a_sale_puts_all_back(owner: User) -> None:
    """Bunches, finds beyond the record and fresh stems are as before."""
    stock, lot = ready(20), LotFactory(stems=100)
    lines = [Sold(23, line=stock.line, price=5), Sold(30, lot=lot, price=4)]
    sale = sell(by=owner, on=ON, way=StallFactory(), lines=lines, beyond_record=True)

    undo_sale(by=owner, sale=sale)

    assert there(stock.batch) == [(stock.box.code, 20)]
    assert Balance.objects.get(line=stock.line).on_hand == 20
    assert not lot.partings.standing().exists()
    with refused("already_undone"):
        undo_sale(by=owner, sale=sale)


def test_the_second_press_sells_once(owner: User) -> None:
    """The same form's key gives the first sale again."""
    stock, way = ready(20), StallFactory()
    lines = [Sold(2, line=stock.line, price=5)]

    first = sell(by=owner, key="k" * 36, on=ON, way=way, lines=lines)

    assert sell(by=owner, key="k" * 36, on=ON, way=way, lines=lines) == first
    assert Sale.objects.count() == 1


def test_promised_bunches_are_not_sold(owner: User) -> None:
    """Of twenty with fifteen promised five can be sold, and no more."""
    stock = ready(20)
    order_of(stock, 15)
    sell(by=owner, on=ON, way=StallFactory(), lines=[Sold(5, line=stock.line, price=5)])

    with refused("not_free"):
        sell(by=owner, on=ON, way=StallFactory(), lines=[Sold(1, line=stock.line, price=5)])


def _sold(stock: Ready, **given: object) -> list[Sold]:
    return [Sold(**{"quantity": 1, "line": stock.line, "price": 5, **given})]  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("code", "given"),
    [("absurd", {"quantity": 0}), ("absurd", {"quantity": 100_001}), ("negative", {"price": -1}),
     ("no_price", {"price": None}), ("dried_or_fresh", {"line": None}), ("not_free", {"quantity": 21})],
)
def test_a_line_that_cannot_be_is_refused(code: str, given: dict[str, object], owner: User) -> None:
    """Nothing, too much, a price below zero, no price, neither line nor lot."""
    stock = ready(20)
    with refused(code):
        sell(by=owner, on=ON, way=StallFactory(), lines=_sold(stock, **given))
    assert not Sale.objects.exists()


def test_a_sale_needs_a_line_and_no_parcel(owner: User) -> None:
    """An empty sale is refused, and so is one from a parcel packed for an order."""
    stock = ready(20)
    parcel = packed(order_of(stock, 3), stock, 3).parcel.box
    with refused("no_lines"):
        sell(by=owner, on=ON, way=StallFactory(), lines=[])
    with refused("parcel"):
        sell(by=owner, on=ON, way=StallFactory(), lines=_sold(stock, box=parcel))


def test_a_sale_before_the_bunches_were_made_is_refused(owner: User) -> None:
    """Sold on the day they were bunched, yes; the day before, no."""
    stock = ready(20, on=date(2024, 8, 1))
    with refused("not_free"):
        sell(by=owner, on=date(2024, 7, 31), way=StallFactory(), lines=_sold(stock))
    assert sell(by=owner, on=date(2024, 8, 1), way=StallFactory(), lines=_sold(stock)).on == date(2024, 8, 1)


def test_a_sale_at_a_stall_is_of_its_day(owner: User) -> None:
    """A sale of another day is refused, and one on a stall day that was undone."""
    stock, day = ready(20), StallDayFactory(on=ON)
    with refused("other_day"):
        sell(by=owner, on=date(2024, 9, 8), way=day.way, lines=_sold(stock), stall_day=day)
    with refused("undone"):
        sell(by=owner, on=ON, way=day.way, lines=_sold(stock), stall_day=undo_stall_day(by=owner, stall_day=day))


def test_a_stall_day_with_sales_stands(owner: User) -> None:
    """A stall day that something was sold on cannot be undone."""
    stock, day = ready(20), StallDayFactory(on=ON)
    sell(by=owner, on=ON, way=day.way, lines=_sold(stock), stall_day=day)
    with refused("rested_on"):
        undo_stall_day(by=owner, stall_day=day)


def test_neither_hand_nor_bookkeeper_sells(hand: User, bookkeeper: User, owner: User) -> None:
    """Selling is for owner and seller."""
    stock, way = ready(20), StallFactory()
    for who in (hand, bookkeeper):
        with pytest.raises(PermissionDenied):
            sell(by=who, on=ON, way=way, lines=_sold(stock))
        with pytest.raises(PermissionDenied):
            open_stall_day(by=who, on=ON, name="Market", way=way)


def test_a_seller_sells(seller: User, owner: User) -> None:
    """A seller sells dried and fresh, though cutting and boxing are not theirs."""
    stock, lot = ready(20), LotFactory(stems=100)

    sale = sell(by=seller, on=ON, way=StallFactory(), lines=[*_sold(stock), Sold(3, lot=lot, price=4)])

    assert sale.recorded_by == seller
