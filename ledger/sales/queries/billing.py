"""What of a job is still to be billed, and the invoice that would bill it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING

from django.utils.translation import gettext as _

from ledger.facts.models import TaxStatus
from ledger.facts.queries import rate_on_invoice, tax_status_on
from ledger.reckoning.tax import net_and_tax

from .jobs import lowest_deposits_held
from .sets import rows

if TYPE_CHECKING:
    from ledger.sales.models import HireBack, Job, JobCharge


@dataclass(frozen=True)
class ToBill:
    """A charge of a job done, or what is charged for broken or lost things of its hire: `price` of one, as the way keeps prices.

    `on` and `rate_bp` are the day it became income and the tax rate of that day.
    """

    on: date
    rate_bp: int
    description: str
    quantity: int
    price: int
    charge: JobCharge | None = None
    broken: HireBack | None = None

    @property
    def amount(self) -> int:
        return self.quantity * self.price


@dataclass(frozen=True)
class JobBill:
    """The invoice that would bill what is left of a job: each thing with its net, the tax of all, the deposit it would use."""

    with_tax: bool
    status: TaxStatus | None
    rate_bp: int
    lines: Sequence[tuple[ToBill, int]]
    tax: int
    held: int

    @property
    def net(self) -> int:
        return sum(net for _one, net in self.lines)

    @property
    def gross(self) -> int:
        return self.net + self.tax

    @property
    def deposit(self) -> int:
        """What of the deposits held it would use."""
        return min(max(self.held, 0), self.gross)

    @property
    def left_to_pay(self) -> int:
        return self.gross - self.deposit


def to_bill(job: Job, on: date) -> list[ToBill]:
    """What of a job became income by that day and is on no invoice, its charges first, then what was broken by day."""
    charges = rows("JobCharge").filter(done__job=job, done__undone_at=None, done__on__lte=on, invoice_lines=None)
    broken = rows("HireBack").standing_on(on).filter(hire__job=job, charge__gt=0, invoice_lines=None)
    found = [
        ToBill(one.done.on, one.done.rate_bp, one.description, one.quantity, one.price, charge=one)
        for one in charges.select_related("done").order_by("pk")
    ]
    for one in broken.select_related("hire__item").order_by("on", "pk"):
        said = _("%(n)d x %(item)s, broken or lost") % {"n": one.broken, "item": one.hire.item}
        found.append(ToBill(one.on, one.rate_bp, said, 1, one.charge, broken=one))
    return found


def job_bill(job: Job, on: date) -> JobBill | None:
    """The invoice of a job on a day, None where nothing is to be billed.

    Prices with tax hold the tax of the day they became income: one invoice bills what has the rate of the first, the next the
    rest. Net prices get the tax of the invoice's own day on top.
    """
    found = to_bill(job, on)
    if not found:
        return None
    with_tax, day, rate = job.way.with_tax, on, rate_on_invoice(on, job.customer.tax_number)
    if with_tax:
        day, rate = found[0].on, found[0].rate_bp
        found = [one for one in found if one.rate_bp == rate]
    shares = net_and_tax([one.amount for one in found], rate, with_tax=with_tax)
    lines = [(one, net) for one, (net, _tax) in zip(found, shares, strict=True)]
    held = lowest_deposits_held(job, on)
    return JobBill(with_tax, tax_status_on(day), rate, lines, sum(tax for _net, tax in shares), held)
