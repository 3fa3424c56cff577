"""Invoices of jobs, and the deposits used on them."""

from __future__ import annotations

from datetime import date, timedelta

from django.utils.translation import gettext_lazy as _

from ledger.facts.models import TaxStatus, User
from ledger.facts.writing import action, keep, record, refusal
from ledger.sales.models import Invoice, InvoiceLine, Job, Payment
from ledger.sales.queries.billing import ToBill, job_bill
from ledger.sales.queries.jobs import lowest_deposits_held

from .issuing import issue
from .jobs import lock_job


@action("invoices")
def invoice_job(*, by: User, job: Job, on: date) -> Invoice:
    """Invoice what of a job became income by that day and is not invoiced yet; what is left of its deposits is used on it.

    Where the job was quoted with tax, its tax is that within the sum, shared over the lines.
    """
    job = lock_job(job, on)
    bill = job_bill(job, on)
    if bill is None:
        raise refusal(
            None, _("Nothing of it is done by that day, broken or lost, that is not invoiced already."), code="nothing_to_invoice"
        )
    issued = issue(
        by, job.customer, job=job, on=on, kind=Invoice.Kind.INVOICE, due_on=on + timedelta(days=job.customer.days_to_pay),
        status=bill.status.status if bill.status else TaxStatus.Status.NONE, rate_bp=bill.rate_bp, with_tax=bill.with_tax,
        net=bill.net, tax=bill.tax, deposit=bill.deposit, seller_tax_number=bill.status.number if bill.status else "",
    )
    for one, net in bill.lines:
        _bill(issued, one, net)
    if bill.deposit:
        _use(by, issued, job, on, bill.deposit)
    return issued


def _bill(issued: Invoice, one: ToBill, net: int) -> InvoiceLine:
    """A line; of prices with tax one in number at its net, how many in words."""
    words, quantity, price = one.description, one.quantity, one.price
    if issued.with_tax:
        words = words if one.charge is None else str(_("%(n)d x %(what)s") % {"n": quantity, "what": words})
        quantity, price = 1, net
    return keep(
        InvoiceLine(
            invoice=issued, charge=one.charge, broken=one.broken, description=words[:240], quantity=quantity, price=price, net=net
        )
    )


@action("invoices")
def use_deposit(*, by: User, invoice: Invoice, on: date) -> Payment:
    """Use what is held of a job's deposits for what is still owed on its invoice."""
    if invoice.job is None or invoice.kind != Invoice.Kind.INVOICE:
        raise refusal(None, _("Only the invoice of a job is paid by a deposit."), code="not_of_a_job")
    job = lock_job(invoice.job)
    Invoice.objects.lock(invoice)
    owed = Invoice.objects.with_owed().get(pk=invoice.pk).owed
    if on < invoice.on:
        raise refusal("on", _("It was invoiced only on %(on)s."), code="too_early", on=invoice.on)
    amount = min(lowest_deposits_held(job, on), owed)
    if amount < 1:
        raise refusal(None, _("Nothing is held of its deposits, or nothing is owed."), code="no_deposit")
    return _use(by, invoice, job, on, amount)


def _use(by: User, invoice: Invoice, job: Job, on: date, amount: int) -> Payment:
    return record(Payment(on=on, invoice=invoice, amount=amount, deposit_of=job, how=str(_("deposit"))), by=by)
