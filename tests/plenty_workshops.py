"""Workshops, things for hire and what was taken along, for the small ledger with at least one of every record."""

from __future__ import annotations

from datetime import date
from typing import Any

from ledger.facts.models import User
from ledger.sales import actions as sales

OFFERED, HELD = date(2025, 7, 9), date(2036, 2, 1)


def add_workshops(by: User, plenty: Any, amounts: dict[str, int]) -> None:
    """A workshop of each state and a bare one; jars hired out with a job; bunches and stems taken and brought back."""
    made = plenty.made
    of = {"by": by, "on": OFFERED, "way": made["stall"], "held_on": HELD, "places": 8, "price": amounts["place"]}
    for name in ("Wreaths", "Posies", "Cones", "Baskets"):
        made[name] = sales.offer_workshop(**of, name=name)
    for name in ("Wreaths", "Posies", "Cones"):
        _sell(by, made[name])
    sales.hold_workshop(by=by, workshop=made["Posies"], on=OFFERED)
    sales.call_off(by=by, workshop=made["Cones"], on=OFFERED)
    _take(by, made)
    _hire(by, made, amounts)
    _bill(by, made, amounts)


def _sell(by: User, workshop: Any) -> None:
    """Two places of which one is given back, and one more."""
    sold = sales.sell_places(by=by, workshop=workshop, on=OFFERED, places=2, who="Two friends")
    sales.give_places_back(by=by, sold=sold, on=OFFERED, places=1, returned=sold.price)
    sales.sell_places(by=by, workshop=workshop, on=OFFERED, places=1)


def _take(by: User, made: dict[str, Any]) -> None:
    """Bunches for a workshop, some back; more for it and for a job; fresh stems for it."""
    of = {"by": by, "on": OFFERED, "line": made["job_line"]}
    taken = sales.take_bunches_for(**of, work=made["Wreaths"], bunches=4)
    sales.bring_bunches_back(by=by, taken=taken, on=OFFERED, bunches=1)
    sales.take_bunches_for(**of, work=made["Wreaths"], bunches=2)
    sales.take_bunches_for(**of, work=made["Wedding"], bunches=1)
    for work in ("Wreaths", "Wedding"):
        sales.take_stems_for(by=by, work=made[work], on=OFFERED, lot=made["lot"], stems=2)


def _hire(by: User, made: dict[str, Any], amounts: dict[str, int]) -> None:
    """Ten jars, one given away; four planned, three out of which two are back; two more planned."""
    item = made["jar"] = sales.add_hire_item(
        by=by, name="Stone jar", charge=amounts["hire"], breakage=amounts["broken"], owned=10, on=OFFERED
    )
    sales.count_hire_item(by=by, item=item, on=OFFERED, more=-1, why="given away")
    of = {"by": by, "job": made["Wedding"], "on": OFFERED, "item": item, "first_day": HELD, "last_day": HELD}
    hire = sales.plan_hire(**of, quantity=4)
    sales.plan_hire(**of, quantity=2)
    sales.send_out(by=by, hire=hire, on=OFFERED, quantity=3)
    sales.bring_hire_back(by=by, hire=hire, on=OFFERED, whole=1, broken=1)
    sales.send_out(by=by, hire=hire, on=OFFERED, quantity=1)


def _bill(by: User, made: dict[str, Any], amounts: dict[str, int]) -> None:
    """A job done and invoiced, with what was broken of its hire."""
    like = made["Wedding"]
    job = made["Party"] = sales.open_job(
        by=by, on=OFFERED, name="Party", kind="event", customer=like.customer, way=like.way, held_on=OFFERED
    )
    sales.add_piece(by=by, job=job, on=OFFERED, name="Garland", quantity=1, price=amounts["piece"])
    hire = sales.plan_hire(by=by, job=job, on=OFFERED, item=made["jar"], quantity=1, first_day=OFFERED, last_day=OFFERED)
    sales.send_out(by=by, hire=hire, on=OFFERED, quantity=1)
    sales.bring_hire_back(by=by, hire=hire, on=OFFERED, whole=0, broken=1)
    sales.do_job(by=by, job=job, on=OFFERED)
    sales.invoice_job(by=by, job=job, on=OFFERED)
    _pay_too_much(by, made)


def _pay_too_much(by: User, made: dict[str, Any]) -> None:
    """A job invoiced, paid in full and credited since."""
    like = made["Wedding"]
    job = made["Lunch"] = sales.open_job(
        by=by, on=OFFERED, name="Lunch", kind="event", customer=like.customer, way=like.way, held_on=OFFERED
    )
    sales.add_piece(by=by, job=job, on=OFFERED, name="Wreath", quantity=2, price=30)
    sales.do_job(by=by, job=job, on=OFFERED)
    invoice = sales.invoice_job(by=by, job=job, on=OFFERED)
    sales.pay(by=by, invoice=invoice, on=OFFERED, amount=invoice.gross)
    sales.credit(by=by, invoice=invoice, on=OFFERED, lines=[(invoice.lines.get(), 1)], why="one too many")
