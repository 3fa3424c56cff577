"""Pages of invoices, credits and payments."""

from __future__ import annotations

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from ledger.facts.pages import Link, ListPage, Undo, Verb, links_for
from ledger.facts.paper import paper
from ledger.facts.queries import today
from ledger.sales import actions
from ledger.sales.filters import InvoiceFilter, PaymentFilter
from ledger.sales.forms import CreditForm, InvoiceForm, MoneyBackForm, PaymentForm
from ledger.sales.models import Invoice, Job, Order, Payment
from ledger.sales.queries.billing import job_bill
from ledger.sales.queries.carriage import carriage_left
from ledger.sales.queries.jobs import lowest_deposits_held
from ledger.sales.queries.papers import lines_to_credit, not_invoiced, on_paper, price_shown
from ledger.sales.tables import InvoiceTable, PaymentTable

from .seeing import SEES_PAPERS, require

TAX_OF_DEPOSITS = _(
    "Where tax is due on a deposit as it comes in, or on one that is kept, this invoice does not know of it. "
    "Rules differ from country to country and change. A qualified accountant decides."
)


class Invoices(ListPage):
    """All invoices and credits."""

    model = Invoice
    table_class, filterset_class = InvoiceTable, InvoiceFilter
    title, may = _("Invoices"), SEES_PAPERS

    def get_queryset(self) -> Any:
        return Invoice.objects.whole().with_owed()

    def links(self) -> list[Link]:
        return [
            Link(_("Orders to be invoiced"), f"{reverse('sales:orders')}?state=to_invoice"),
            Link(_("Overdue"), f"{reverse('sales:invoices')}?state=overdue"),
            Link(_("Payments"), reverse("sales:payments")),
        ]

    def get_context_data(self, **given: Any) -> dict[str, Any]:
        return super().get_context_data(row_template="sales/invoice.html#row", on=today(), **given)


class Payments(ListPage):
    """All payments."""

    model = Payment
    table_class, filterset_class = PaymentTable, PaymentFilter
    title, may = _("Payments"), SEES_PAPERS

    def get_queryset(self) -> Any:
        return Payment.objects.standing().whole()

    def links(self) -> list[Link]:
        return [Link(_("Invoices"), reverse("sales:invoices"))]

    def get_context_data(self, **given: Any) -> dict[str, Any]:
        return super().get_context_data(row_template="sales/payments.html#row", **given)


def invoice(request: HttpRequest, pk: int) -> HttpResponse:
    """One invoice or credit as issued, what was paid and credited since."""
    require(request, SEES_PAPERS)
    invoice = get_object_or_404(Invoice.objects.whole().with_owed(), pk=pk)
    lines = invoice.lines.select_related("dispatch_line__dispatch", "carriage_of", "charge__done__job", "broken__hire__job")
    context = {
        "invoice": invoice, "links": links_for(request.user, *_links(invoice)),
        "lines": [(line, price_shown(line)) for line in lines],
        "payments": invoice.payments.select_related("recorded_by").order_by("on", "pk"),
        "credits": invoice.credited_by.order_by("number"),
    }
    return render(request, "sales/invoice.html", context)


def _links(invoice: Invoice) -> list[Link]:
    links = [Link(_("As paper"), reverse("sales:invoice_paper", args=[invoice.pk]))]
    if invoice.kind == Invoice.Kind.INVOICE:
        if invoice.owed > 0:  # type: ignore[attr-defined]
            links.append(Link(_("Record a payment"), reverse("sales:pay", args=[invoice.pk]), "invoices"))
            if invoice.job is not None and lowest_deposits_held(invoice.job, today()) > 0:
                links.append(Link(_("Use the deposit held"), reverse("sales:use_deposit", args=[invoice.pk]), "invoices"))
        if invoice.owed < 0:  # type: ignore[attr-defined]
            links.append(Link(_("Give money back"), reverse("sales:give_money_back", args=[invoice.pk]), "invoices"))
        links.append(Link(_("Credit"), reverse("sales:credit", args=[invoice.pk]), "invoices"))
    return links


def invoice_paper(request: HttpRequest, pk: int) -> HttpResponse:
    """An invoice or credit as paper, by the seller's tax status when it was issued."""
    require(request, SEES_PAPERS)
    invoice = get_object_or_404(Invoice.objects.whole(), pk=pk)
    return paper(request, "print/invoice.html", {"invoice": invoice, **on_paper(invoice)}, f"{invoice.kind}-{invoice.number}.pdf")


class InvoiceOrder(Verb):
    """Invoice what was sent of an order and is not invoiced yet."""

    title, may, button, done = _("Invoice what was sent"), "invoices", _("Issue the invoice"), _("Issued.")
    template_name, form_class = "sales/invoice_order.html", InvoiceForm
    intro = _("An issued invoice is never changed or undone; what is wrong in it is credited.")

    def find_subject(self) -> None:
        self.subject = get_object_or_404(Order.objects.with_standing(), pk=self.given["pk"])

    def form_given(self) -> dict[str, Any]:
        return {"late": carriage_left(self.subject) if self.subject.sent else 0, "all_sent": not self.subject.kept}

    def context(self) -> dict[str, Any]:
        sent = list(not_invoiced(self.subject, today()))
        return {
            "lines": [(line, line.bunches * line.order_line.price) for line in sent],
            "carried": [one for one in dict.fromkeys(line.dispatch for line in sent) if one.carriage],
        }

    def act(self, form: InvoiceForm, **common: Any) -> Invoice:
        return actions.invoice(order=self.subject, **form.given(), **common)


class InvoiceJob(Verb):
    """Invoice what of a job is done, broken or lost and not invoiced yet."""

    title, may, button, done = _("Invoice the job"), "invoices", _("Issue the invoice"), _("Issued.")
    template_name, subject_model = "sales/invoice_job.html", Job
    intro = _(
        "An issued invoice is never changed or undone; what is wrong in it is credited. "
        "What is held of the deposits is used on it at once."
    )

    def context(self) -> dict[str, Any]:
        return {"bill": job_bill(self.subject, today()), "cautions": [TAX_OF_DEPOSITS]}

    def act(self, form: Any, **common: Any) -> Invoice:
        return actions.invoice_job(job=self.subject, on=form.cleaned_data["on"], **common)


class UseDeposit(Verb):
    """Use what is held of a job's deposits on its invoice."""

    title, may, button = _("Use the deposit held"), "invoices", _("Use it")
    subject_model = Invoice

    def act(self, form: Any, **common: Any) -> Payment:
        return actions.use_deposit(invoice=self.subject, on=form.cleaned_data["on"], **common)

    def then(self, result: Payment) -> str:
        return result.invoice.get_absolute_url()


class Credit(Verb):
    """Credit part or all of an invoice."""

    form_class, title, may, button, done = CreditForm, _("Credit"), "invoices", _("Issue the credit"), _("Issued.")
    template_name, subject_model = "sales/credit.html", Invoice
    intro = _("The invoice stays as it is; the credit has its own number. What comes back on the shelf is entered by itself.")

    def form_given(self) -> dict[str, Any]:
        return {"lines": list(lines_to_credit(self.subject))}

    def act(self, form: CreditForm, **common: Any) -> Invoice:
        given = form.cleaned_data
        return actions.credit(
            invoice=self.subject, on=given["on"], lines=form.credited(), carriage=form.carriage(), why=given["why"], **common
        )


class Pay(Verb):
    """Record a payment; begins with what is owed."""

    form_class, title, may = PaymentForm, _("Record a payment"), "invoices"

    def find_subject(self) -> None:
        self.subject = get_object_or_404(Invoice.objects.with_owed(), pk=self.given["pk"])

    def initial(self) -> dict[str, Any]:
        return {"amount": self.subject.owed, **super().initial()}

    def act(self, form: PaymentForm, **common: Any) -> Payment:
        return actions.pay(invoice=self.subject, **form.given(), **common)


class GiveMoneyBack(Verb):
    """Give money back on an invoice paid beyond what is left of it; begins with all of that."""

    form_class, title, may, button = MoneyBackForm, _("Give money back"), "invoices", _("Given back")
    intro = _("More was paid than is left of it after what was credited.")

    def find_subject(self) -> None:
        self.subject = get_object_or_404(Invoice.objects.with_owed(), pk=self.given["pk"])

    def initial(self) -> dict[str, Any]:
        return {"amount": max(-self.subject.owed, 0) or None, **super().initial()}

    def act(self, form: MoneyBackForm, **common: Any) -> Payment:
        return actions.give_money_back(invoice=self.subject, **form.given(), **common)


class UndoPayment(Undo):
    """Undo a payment, or a giving back."""

    subject_model, may, fact_name = Payment, "invoices", "payment"
    undoing = staticmethod(actions.undo_payment)
