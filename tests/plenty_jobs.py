"""Jobs for the small ledger with at least one of every record: asked about, agreed, done, cancelled."""

from __future__ import annotations

from datetime import date
from typing import Any

from ledger.facts.models import CostKind, User
from ledger.pricing import actions as pricing
from ledger.sales import actions as sales
from ledger.sales.models import Customer, Job
from ledger.stock import actions as stock

ASKED, HELD = date(2025, 7, 9), date(2036, 1, 1)


def add_jobs(by: User, plenty: Any, amounts: dict[str, int]) -> None:
    """One job of each state, with a line of their own to take from; a piece with every kind of part; one of two done invoiced."""
    made, customer = plenty.made, Customer.objects.named().order_by("pk")[0]
    way = pricing.add_way(by=by, name="Made-up work", with_tax=True, kind="made_up")
    pricing.set_terms(by=by, way=way, on=ASKED, margin_bp=3000)
    variety = plenty.thread.line.variety
    line = made["job_line"] = stock.add_line(by=by, variety=variety, colour="rust", stems=10)
    stock.buy_in(
        by=by, on=ASKED, supplier="Sorrel Farm", outputs=[stock.Output(line, 30)], net=amounts["bill"], tax=0,
        kind=CostKind.objects.get(code="plants"),
    )
    of = {"by": by, "on": ASKED, "kind": "wedding", "customer": customer, "way": way, "held_on": HELD}
    for name in ("Wedding", "Funeral", "Supper", "Window", "Party"):
        made[name] = sales.open_job(**of, name=name, good_until=date(2025, 8, 1))
    parts = [
        sales.Part(24, line=line), sales.Part(3, variety=variety), sales.Part(50, material=made["twine"]),
        sales.Part(1, bought="Vase", cost=amounts["vase"]),
    ]
    for name in ("Wedding", "Funeral", "Supper", "Party"):
        _quote(by, made[name], parts, amounts)
    _agree(by, made["Wedding"], line, amounts)
    for name in ("Funeral", "Party"):
        sales.do_job(by=by, job=made[name], on=ASKED)
    billed = sales.invoice_job(by=by, job=made["Party"], on=ASKED)
    sales.undo_payment(by=by, payment=billed.payments.get())
    sales.cancel_job(by=by, job=made["Supper"], on=ASKED, kept=amounts["kept"])


def _quote(by: User, job: Job, parts: list[sales.Part], amounts: dict[str, int]) -> None:
    sales.add_piece(by=by, job=job, on=ASKED, name="Bouquet", quantity=2, price=amounts["piece"], minutes=30, parts=parts)
    sales.take_deposit(by=by, job=job, on=ASKED, amount=amounts["deposit"])


def _agree(by: User, job: Job, line: Any, amounts: dict[str, int]) -> None:
    """Said anew, agreed to, some of what it needs kept and some of that given back."""
    sales.change_job(by=by, job=job, on=ASKED, held_on=HELD, note="Rust and cream")
    kept = sales.keep_for_job(by=by, job=job, on=ASKED, line=line, bunches=3)
    sales.free_from_job(by=by, job_hold=kept, on=ASKED, bunches=1)
    sales.agree_job(by=by, job=job, on=ASKED)
