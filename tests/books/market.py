"""One market day in September 2024 with two lines sold, every number shown."""

from dataclasses import dataclass
from datetime import date

from ledger.daybook import actions as daybook
from ledger.facts.actions import set_tax_rate, set_tax_status
from ledger.facts.models import CostKind
from ledger.growing import actions as growing
from ledger.pricing import actions as pricing
from ledger.pricing.models import Way
from ledger.sales import actions as sales
from ledger.sales.models import StallDay
from tests.books.test_closing import spend
from tests.thread import Thread, plant, spin_thread

MARKET_DAY, ASKED = date(2024, 9, 7), date(2024, 12, 31)
SEPTEMBER = (date(2024, 9, 1), date(2024, 9, 30))


@dataclass
class Market:
    """What stood and was sold: 9 of 27 bunches that cost 124.00, and 40 of 100 fresh stems that cost 50.00."""

    thread: Thread
    way: Way
    day: StallDay


def market(owner, *, pitch=1000, minutes=60, rate=1200, cleared=True):
    """9 bunches at 16.00 and 40 stems at 0.90, with 20 % tax in them, on a day with a billed pitch and own hours.

    The way: 30 % wanted, a card fee of 2 % of takings, a fixed day.
    """
    set_tax_status(by=owner, on=date(2024, 1, 1), status="registered", number="XX 000")
    set_tax_rate(by=owner, on=date(2024, 1, 1), rate_bp=2000)
    thread, statice = spin_thread(owner), plant(owner, name="Statice", expected=None)
    spend(owner, statice, date(2024, 4, 1), 5000)
    lot = growing.cut(by=owner, planting=statice, on=date(2024, 9, 6), stage="full", stems=100)
    if cleared:
        growing.clear(by=owner, planting=statice, on=date(2024, 10, 1))
    way = pricing.add_way(by=owner, name="Stall", kind="stall")
    pricing.set_terms(
        by=owner, way=way, on=date(2024, 1, 1), margin_bp=3000, fee_bp=200, fixed_day=3000, usual_takings=30000,
    )
    day = sales.open_stall_day(by=owner, on=MARKET_DAY, name="Green", way=way)
    sold = [sales.Sold(9, line=thread.line, price=1600), sales.Sold(40, lot=lot, price=90)]
    sales.sell(by=owner, on=MARKET_DAY, way=way, stall_day=day, lines=sold)
    bill_pitch(owner, day, pitch)
    stand_there(owner, day, minutes, rate)
    return Market(thread, way, day)


def bill_pitch(owner, day, amount):
    """A bill for the pitch, none where it is nothing."""
    if amount:
        line = daybook.BoughtLine("pitch", CostKind.objects.get(code="fees"), amount, 0, [(day.cost_object, 1)])
        daybook.record_purchase(by=owner, on=day.on, supplier="Market", lines=[line])


def stand_there(owner, day, minutes, rate=1200, *, paid=False):
    """Somebody's time on the day; unpaid people's at their notional rate."""
    if not minutes:
        return
    worker = daybook.add_worker(by=owner, name="Rowan" if paid else "Sorrel", paid=paid)
    daybook.set_worker_rate(by=owner, worker=worker, on=date(2024, 1, 1), per_hour=rate)
    daybook.note_work(by=owner, worker=worker, on=day.on, minutes=minutes, task="selling", spent_on=[(day.cost_object, 1)])
