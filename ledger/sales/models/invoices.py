"""Invoices, credits and payments; an issued paper is never edited nor undone."""

from django.core.validators import MinValueValidator
from django.db import models
from django.db.models import F, Q
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from ledger.facts.models import Fact
from ledger.sales.queries.sets import InvoiceQuerySet, PaymentQuerySet

from .customers import Customer
from .hire import HireBack
from .jobs import Job, JobCharge
from .orders import Dispatch, DispatchLine, Order


class Invoice(Fact):
    """An invoice or credit as it was issued, with seller and customer as they were named that day.

    `number` runs without gaps over invoices and credits alike, of trade orders and of jobs. `net`, `tax`
    and `gross` are whole minor units, positive on both kinds of paper. `with_tax`: a job quoted with tax; its tax is
    that within the sum, shared over the lines. `deposit`: what of the job's deposits was used as it was issued, printed on it.
    """

    class Kind(models.TextChoices):
        INVOICE = "invoice", _("invoice")
        CREDIT = "credit", _("credit")

    number = models.PositiveIntegerField(_("number"), unique=True)
    kind = models.CharField(max_length=7, choices=Kind, default=Kind.INVOICE)
    order = models.ForeignKey(Order, models.PROTECT, null=True, blank=True, related_name="invoices")
    job = models.ForeignKey(Job, models.PROTECT, null=True, blank=True, related_name="invoices")
    customer = models.ForeignKey(Customer, models.PROTECT, related_name="invoices")
    credits = models.ForeignKey("self", models.PROTECT, null=True, blank=True, related_name="credited_by")
    due_on = models.DateField(_("due"))
    status = models.CharField(_("seller's tax status"), max_length=10)
    rate_bp = models.PositiveIntegerField(default=0)
    with_tax = models.BooleanField(_("prices were with tax"), default=False)
    net = models.PositiveBigIntegerField()
    tax = models.PositiveBigIntegerField()
    gross = models.PositiveBigIntegerField()
    deposit = models.PositiveBigIntegerField(_("deposit received"), default=0)
    seller = models.TextField()
    seller_tax_number = models.CharField(max_length=30, blank=True)
    billed_to = models.TextField()
    why = models.CharField(_("why"), max_length=200, blank=True)

    objects = InvoiceQuerySet.as_manager()

    class Meta(Fact.Meta):
        abstract = False
        ordering = ["-number"]
        constraints = [
            *Fact.Meta.constraints,
            models.CheckConstraint(condition=Q(gross=F("net") + F("tax")), name="invoice_adds_up"),
            models.CheckConstraint(condition=Q(undone_at__isnull=True), name="invoice_never_undone"),
            models.CheckConstraint(
                condition=Q(kind="invoice", credits__isnull=True) | Q(kind="credit", credits__isnull=False),
                name="invoice_credit_names_its_invoice",
            ),
            models.CheckConstraint(
                condition=Q(order__isnull=False, job__isnull=True) | Q(order__isnull=True, job__isnull=False),
                name="invoice_of_order_or_job",
            ),
            models.CheckConstraint(
                condition=Q(deposit=0) | Q(kind="invoice", job__isnull=False, deposit__lte=F("gross")),
                name="invoice_deposit_of_a_job",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.get_kind_display()} {self.number}"

    def get_absolute_url(self) -> str:
        return reverse("sales:invoice", args=[self.pk])


class InvoiceLine(models.Model):
    """One line of an issued paper, in words and whole minor units.

    It bills a line that was sent, a dispatch's carriage (`carriage_of`), a `charge` of a job or what was `broken` of its hire.
    With tax in its prices an invoice's line is one at its `net`; a credit's says how many at the `price` with tax.
    """

    part_of = "invoice"
    invoice = models.ForeignKey(Invoice, models.PROTECT, related_name="lines")
    dispatch_line = models.ForeignKey(
        DispatchLine, models.PROTECT, null=True, blank=True, related_name="invoice_lines"
    )
    carriage_of = models.ForeignKey(Dispatch, models.PROTECT, null=True, blank=True, related_name="carriage_lines")
    charge = models.ForeignKey(JobCharge, models.PROTECT, null=True, blank=True, related_name="invoice_lines")
    broken = models.ForeignKey(HireBack, models.PROTECT, null=True, blank=True, related_name="invoice_lines")
    credits_line = models.ForeignKey("self", models.PROTECT, null=True, blank=True, related_name="credited_by")
    description = models.CharField(max_length=240)
    quantity = models.PositiveIntegerField(validators=[MinValueValidator(1)])
    price = models.PositiveBigIntegerField()
    net = models.PositiveBigIntegerField()

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["dispatch_line"], condition=Q(credits_line__isnull=True, dispatch_line__isnull=False),
                name="dispatch_line_invoiced_once",
            ),
            models.UniqueConstraint(
                fields=["carriage_of"], condition=Q(credits_line__isnull=True, carriage_of__isnull=False),
                name="dispatch_carriage_invoiced_once",
            ),
            models.UniqueConstraint(
                fields=["charge"], condition=Q(credits_line__isnull=True, charge__isnull=False), name="job_charge_invoiced_once",
            ),
            models.UniqueConstraint(
                fields=["broken"], condition=Q(credits_line__isnull=True, broken__isnull=False), name="hire_back_invoiced_once",
            ),
            models.CheckConstraint(
                condition=Q(carriage_of=None, charge=None, broken=None) | Q(dispatch_line=None, charge=None, broken=None)
                | Q(dispatch_line=None, carriage_of=None, broken=None) | Q(dispatch_line=None, carriage_of=None, charge=None),
                name="invoice_line_bills_one_thing",
            ),
        ]


class Payment(Fact):
    """Money received (+) against one invoice or given back (-), minor units; `deposit_of`: paid ahead for that job, not new."""

    deposit_of = models.ForeignKey(Job, models.PROTECT, null=True, blank=True, related_name="deposits_used")
    invoice = models.ForeignKey(Invoice, models.PROTECT, related_name="payments")
    amount = models.BigIntegerField(_("amount"))
    how = models.CharField(_("how it came"), max_length=60, blank=True)

    objects = PaymentQuerySet.as_manager()

    class Meta(Fact.Meta):
        abstract = False
        constraints = [
            *Fact.Meta.constraints,
            models.CheckConstraint(condition=Q(amount__gte=1) | Q(amount__lte=-1, deposit_of=None), name="payment_some"),
        ]

    def __str__(self) -> str:
        says = _("Payment of %(invoice)s, %(on)s") if self.amount > 0 else _("Given back of %(invoice)s, %(on)s")
        return str(says) % {"invoice": self.invoice, "on": self.on}

    def get_absolute_url(self) -> str:
        return self.invoice.get_absolute_url()

    @property
    def back(self) -> int:
        """What was given back, minor units; below zero for money received."""
        return -self.amount
