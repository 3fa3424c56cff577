"""Each balance, running figure, paper and frozen row broken by SQL, and the row the proof then names."""

from datetime import date

import pytest
from django.db import connection, transaction

from ledger.books.actions import close_year
from ledger.books.models import ClosedBatch, ClosedLine, ClosedPlace, YearClose
from ledger.books.queries.proof import prove
from ledger.drying.models import Hanging, Loss, TakingDown
from ledger.facts.actions import set_up
from ledger.facts.models import User
from ledger.growing import actions as growing
from ledger.growing.models import Lot, Parting
from ledger.pricing import actions as pricing
from ledger.sales import actions as sales
from ledger.sales.models import DispatchLine, Invoice, InvoiceLine, OrderLine, Packing, Payment, SaleLine
from ledger.stock import actions as stock
from ledger.stock.models import Balance, Batch, Content, HoldChange, Movement, Run, RunInput
from tests.factories.sales import CustomerFactory
from tests.flushing import without_guards
from tests.thread import spin_thread

YEAR_END = date(2024, 12, 31)
ORDERED, SENT, BILLED, BACK = date(2024, 9, 1), date(2024, 9, 3), date(2024, 9, 5), date(2024, 9, 9)
pytestmark = [pytest.mark.django_db, pytest.mark.unproved]


@pytest.fixture(scope="module")
def whole_path(django_db_setup, django_db_blocker):
    """The path below, walked once for this file and taken out again; each test's own break is undone with it."""
    with django_db_blocker.unblock(), transaction.atomic():
        set_up(
            name="Hollow Lane Flowers", currency="GBP", time_zone="UTC", year_end_month=12, year_end_day=31,
            season_first_month=1, status="none", on=date(2020, 1, 1), username="owner", password="teasel-and-honesty",
        )
        walk(User.objects.get())
        yield
        transaction.set_rollback(True)


def walk(owner):
    """27 bunches: 5 of 8 promised sent at 6.00, one credited, 10.00 paid; 3 and 20 fresh stems sold, 2 drawn; closed."""
    thread = spin_thread(owner)
    gate = pricing.add_way(by=owner, name="Gate", with_tax=True)
    trade = pricing.add_way(by=owner, name="Trade", with_tax=False, trade=True)
    pricing.set_price(by=owner, way=gate, line=thread.line, on=ORDERED, amount=300)
    lines = [sales.Asked(thread.line, 10, 8, 600)]
    order = sales.take_order(by=owner, on=ORDERED, customer=CustomerFactory(), way=trade, lines=lines)
    sales.pack(by=owner, order_line=order.lines.get(), on=SENT, batch=thread.batch, box=thread.box, bunches=5)
    sales.send(by=owner, order=order, on=SENT)
    issued = sales.invoice(by=owner, order=order, on=BILLED)
    sales.credit(by=owner, invoice=issued, on=BACK, lines=[(issued.lines.get(), 1)], why="moth")
    sales.pay(by=owner, invoice=issued, on=BACK, amount=1000, how="bank")
    fresh = growing.cut(by=owner, planting=thread.planting, on=BACK, stage="full", stems=50)
    sold = [sales.Sold(line=thread.line, quantity=3), sales.Sold(lot=fresh, quantity=20, price=40)]
    sales.sell(by=owner, on=BACK, way=gate, lines=sold)
    stock.draw(by=owner, on=BACK, batch=thread.batch, box=thread.box, bunches=2, reason="display")
    close_year(by=owner, on=YEAR_END)


def broken(model, change, **which):
    """Change the first such row behind the ledger's back, whatever the database would refuse; return its number."""
    row = model._base_manager.filter(**which).order_by("pk").first()
    assert row is not None, f"no {model.__name__} with {which}"
    without_guards(model)
    if change is None:
        with connection.cursor() as cursor:
            cursor.execute(f"DELETE FROM {model._meta.db_table} WHERE {model._meta.pk.column} = %s", [row.pk])
    else:
        assert any(getattr(row, name) != value for name, value in change.items())
        model._base_manager.filter(pk=row.pk).update(**change)
    return row.pk


STEMS = [
    (Lot, {"stems": 200}, {}, "lot {}: 200 cut, 400 parted"),
    (Parting, {"stems": 101}, {"way": "thrown_out"}, "lot"),
    (Parting, {"stems": 299}, {"way": "hung"}, "hanging"),
    (Hanging, {"stems": 301}, {}, "hanging {}: 301 hung"),
    (TakingDown, {"stems": 301}, {}, "taking down {}:"),
    (TakingDown, {"sound": 279}, {}, "taking down {}:"),
    (Loss, {"stems": 19}, {}, "taking down"),
    (RunInput, {"stems": 281}, {}, "run"),
    (Run, {"lost": 9}, {}, "run {}:"),
    (Batch, {"stems": 269}, {}, "run"),
    (Batch, {"made": 26}, {}, "batch {}: 26 made, 27 in the stock book"),
]
STOCK = [
    (Movement, {"bunches": 28}, {"kind": "made"}, "batch"),
    (Movement, {"bunches": -6}, {"kind": "sold"}, "content of box"),
    (Movement, {"bunches": -1}, {"kind": "drawn"}, "content of box"),
    (Movement, {"bunches": 6}, {"kind": "moved", "bunches__gt": 0}, "packing"),
    (Movement, {"on": date(2024, 9, 10)}, {"kind": "made"}, "box"),
    (Movement, None, {"kind": "drawn"}, "content of box"),
    (Content, {"bunches": 1}, {}, "content of box"),
    (Content, None, {"bunches__gt": 0}, "content of box"),
    (Balance, {"on_hand": 16}, {}, "balance of line {}: 16 on hand"),
    (Balance, {"held": 2}, {}, "balance of line {}: 2 held"),
    (Balance, None, {}, "balance of line {}: missing"),
    (HoldChange, {"bunches": 7}, {"why": "promised"}, "balance of line"),
    (HoldChange, {"bunches": -4}, {"why": "used"}, "balance of line"),
]
SALES = [
    (OrderLine, {"promised": 9}, {}, "order line {}: 9 promised, 8 held"),
    (OrderLine, {"promised": 7}, {}, "order line {}: 7 promised, 8 held"),
    (OrderLine, {"price": 500}, {}, "invoice 1, line"),
    (Packing, {"bunches": 4}, {}, "packing {}:"),
    (DispatchLine, {"bunches": 4}, {}, "dispatch line {}:"),
    (SaleLine, {"quantity": 21}, {"line": None}, "sale line {}: 21 bunches of alike stems sold, 20 stems left"),
    (Parting, {"stems": 19}, {"way": "sold_fresh"}, "sale line"),
    (SaleLine, {"quantity": 4}, {"parting": None}, "sale line {}: 4 bunches sold, 3 left"),
    (Invoice, {"number": 3}, {"number": 1}, "invoice 2: number 1 is missing"),
    (Invoice, {"net": 3100, "gross": 3100}, {"number": 1}, "invoice 1: net 3100"),
    (Invoice, {"tax": 10, "gross": 3010}, {"number": 1}, "invoice 1: tax 10"),
    (Invoice, {"rate_bp": 2000}, {"number": 1}, "invoice 1: tax 0"),
    (InvoiceLine, {"price": 601}, {"invoice__number": 1}, "invoice 1, line {}:"),
    (InvoiceLine, {"quantity": 4}, {"invoice__number": 1}, "invoice 1, line {}:"),
    (InvoiceLine, {"net": 2999}, {"invoice__number": 1}, "invoice 1, line {}:"),
    (InvoiceLine, {"quantity": 6}, {"invoice__number": 2}, "invoice 2, line {}:"),
    (InvoiceLine, {"price": 1}, {"invoice__number": 2}, "invoice 2, line {}:"),
    (Payment, {"amount": 3001}, {}, "invoice 1: 3001 paid of 3000"),
    (Payment, {"amount": -5}, {}, "invoice 1: money was given back though"),
]
CLOSED = [
    (ClosedPlace, {"paid": 1}, {"place": "boxed"}, "closed place {} "),
    (ClosedPlace, {"full": 1}, {"place": "cost of sales"}, "closed place {} "),
    (ClosedPlace, {"quantity": 1}, {"place": "drawn"}, "closed place {} "),
    (ClosedPlace, None, {"place": "boxed"}, "closed year 2024: boxed of batch:"),
    (ClosedLine, {"cost": 1}, {"method": "traced"}, "closed line {} "),
    (ClosedLine, {"quantity": 1}, {"method": "moving-average"}, "closed line {} "),
    (ClosedLine, {"write_down": 1}, {"method": "fifo"}, "closed line {} "),
    (ClosedLine, {"write_down": 1}, {"method": "traced"}, "closed line {} "),
    (ClosedLine, None, {"method": "periodic-average"}, "closed year 2024: line"),
    (ClosedBatch, {"cost": 1}, {}, "closed batch {} "),
    (ClosedBatch, {"quantity": 1}, {}, "closed batch {} "),
    (ClosedBatch, None, {}, "closed year 2024: batch"),
    (YearClose, {"closing_cost": 1}, {}, "closed year 2024:"),
    (YearClose, {"write_down": 1}, {}, "closed year 2024:"),
]


@pytest.mark.parametrize(("model", "change", "which", "named"), [*STEMS, *STOCK, *SALES, *CLOSED])
def test_what_was_broken_is_named(whole_path, model, change, which, named):
    """A true ledger proves; the broken one does not, and a difference begins with the row."""
    assert prove(YEAR_END).differences == []
    pk = broken(model, change, **which)
    found = prove(YEAR_END).differences

    assert any(one.startswith(named.format(pk)) for one in found), found
