"""One wedding and one workshop of autumn 2024, every number shown."""

from dataclasses import dataclass
from datetime import date

from ledger.daybook import actions as daybook
from ledger.facts.actions import set_tax_rate, set_tax_status
from ledger.facts.models import CostKind
from ledger.growing import actions as growing
from ledger.growing.models import Lot
from ledger.pricing import actions as pricing
from ledger.pricing.models import Way
from ledger.sales import actions as sales
from ledger.sales.models import Job, Workshop
from tests.books.test_closing import spend
from tests.factories.sales import CustomerFactory
from tests.thread import Thread, plant, spin_thread

ASKED_ABOUT, TAKEN, DONE, BACK, BILLED = (
    date(2024, 8, 5), date(2024, 9, 13), date(2024, 9, 14), date(2024, 9, 16), date(2024, 9, 20)
)
OFFERED, HELD, ON = date(2024, 10, 1), date(2024, 11, 16), date(2024, 12, 31)


@dataclass
class Grown:
    """27 bunches of strawflower that cost 124.00, 100 fresh stems of statice that cost 50.00, and a way for work to order."""

    thread: Thread
    statice: Lot
    way: Way


def grown(owner, *, with_tax=True, cleared=True):
    """Registered at 20 %; of work to order 30 % is wanted, 2 % of takings go in fees, an hour is planned at 12.00."""
    set_tax_status(by=owner, on=date(2024, 1, 1), status="registered", number="XX 000")
    set_tax_rate(by=owner, on=date(2024, 1, 1), rate_bp=2000)
    thread, statice = spin_thread(owner), plant(owner, name="Statice", expected=None)
    spend(owner, statice, date(2024, 4, 1), 5000)
    lot = growing.cut(by=owner, planting=statice, on=date(2024, 9, 6), stage="full", stems=100)
    if cleared:
        growing.clear(by=owner, planting=statice, on=date(2024, 10, 1))
    way = pricing.add_way(by=owner, name="Work to order", with_tax=with_tax)
    pricing.set_terms(by=owner, way=way, on=date(2024, 1, 1), margin_bp=3000, fee_bp=200, hour_cost=1200)
    return Grown(thread, lot, way)


def asked_about(owner, made, *, name="Alder wedding", deposit=5000):
    """Eight buttonholes at 6.50 and a bouquet at 95.00, two jars hired at 7.50: 162.00, of which 50.00 are paid ahead.

    A buttonhole is to take three stems of strawflower and five minutes, the bouquet twenty of each kind, ten minutes more than
    an hour and ribbon bought at 4.00.
    """
    job = sales.open_job(
        by=owner, on=ASKED_ABOUT, name=name, kind="wedding", customer=CustomerFactory(), way=made.way, held_on=DONE
    )
    line, variety = made.thread.line, made.statice.planting.variety
    given = {"by": owner, "job": job, "on": ASKED_ABOUT}
    sales.add_piece(**given, name="Buttonhole", quantity=8, price=650, minutes=5, parts=[sales.Part(3, line=line)])
    parts = [sales.Part(20, line=line), sales.Part(20, variety=variety), sales.Part(1, bought="ribbon", cost=400)]
    sales.add_piece(**given, name="Bouquet", quantity=1, price=9500, minutes=70, parts=parts)
    jar = sales.add_hire_item(by=owner, name=f"Stone jar for {name}", charge=750, breakage=800, owned=6, on=ASKED_ABOUT)
    sales.plan_hire(**given, item=jar, quantity=2, first_day=TAKEN, last_day=BACK)
    if deposit:
        sales.take_deposit(by=owner, job=job, on=ASKED_ABOUT, amount=deposit)
    return job


def wedding(owner, made, **given):
    """Nine bunches and 40 stems taken, three bunches back; ribbon for 10.00 and an hour at 12.00; one of two jars broken."""
    job = asked_about(owner, made, **given)
    take(owner, made, job, bunches=9, stems=40, back=3)
    spend_on(owner, made, job)
    sales.do_job(by=owner, job=job, on=DONE)
    hire = job.hires.get()
    sales.send_out(by=owner, hire=hire, on=TAKEN, quantity=2)
    sales.bring_hire_back(by=owner, hire=hire, on=BACK, whole=1, broken=1)
    return job


def take(owner, made, work, *, bunches, stems=0, back=0, on=TAKEN):
    """So many bunches and fresh stems taken, some bunches back two days after the wedding."""
    taken = sales.take_bunches_for(by=owner, work=work, on=on, line=made.thread.line, bunches=bunches)
    if stems:
        sales.take_stems_for(by=owner, work=work, on=on, lot=made.statice, stems=stems)
    if back:
        sales.bring_bunches_back(by=owner, taken=taken, on=max(on, BACK), bunches=back, box=made.thread.box)


def spend_on(owner, made, work: Job | Workshop, *, bill=1000, minutes=60, on=DONE):
    """A bill of craft goods for the work and somebody's paid time at 12.00 an hour."""
    line = daybook.BoughtLine("ribbon", CostKind.objects.get(code="craft"), bill, 0, [(work.cost_object, 1)])
    daybook.record_purchase(by=owner, on=on, supplier="Haberdasher", lines=[line])
    daybook.note_work(
        by=owner, worker=made.thread.worker, on=on, minutes=minutes, task="selling", spent_on=[(work.cost_object, 1)]
    )


def workshop(owner, made, *, held=True):
    """Eight places at 45.00: five sold, one of them given back for 30.00; six bunches taken, 10.00 and an hour spent."""
    one = sales.offer_workshop(
        by=owner, on=OFFERED, name="Wreaths from the loft", way=made.way, held_on=HELD, places=8, price=4500
    )
    sold = sales.sell_places(by=owner, workshop=one, on=OFFERED, places=5)
    sales.give_places_back(by=owner, sold=sold, on=date(2024, 11, 1), places=1, returned=3000)
    take(owner, made, one, bunches=6, on=HELD)
    spend_on(owner, made, one, on=HELD)
    if held:
        sales.hold_workshop(by=owner, workshop=one, on=HELD)
    return one
