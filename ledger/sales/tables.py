"""The tables of sales."""

import django_tables2 as tables
from django.utils.translation import gettext_lazy as _

from .models import (
    CardPayout,
    Customer,
    Dispatch,
    HireItem,
    Invoice,
    Job,
    Order,
    Payment,
    Sale,
    StallDay,
    StandingOrder,
    Workshop,
)

LATEST = ("-on", "-pk")
RIGHT = {"th": {"class": "number"}}


class CustomerTable(tables.Table):
    """Customers by name."""

    owed = tables.Column(_("Owes"), attrs=RIGHT)

    class Meta:
        model = Customer
        fields = ("name", "trade", "contact", "owed")
        empty_text = _("No customer is named yet.")


class OrderTable(tables.Table):
    """Trade orders, the latest first."""

    asked = tables.Column(_("Asked"), attrs=RIGHT)
    kept = tables.Column(_("Still promised"), attrs=RIGHT)
    packed = tables.Column(_("Packed"), attrs=RIGHT)
    sent = tables.Column(_("Sent"), attrs=RIGHT)
    to_invoice = tables.Column(_("To invoice"), attrs=RIGHT)

    class Meta:
        model = Order
        fields = ("on", "customer", "wanted_on", "asked", "kept", "packed", "sent", "to_invoice")
        order_by = LATEST
        empty_text = _("No order was taken yet.")


class DispatchTable(tables.Table):
    """Parcels sent, the latest first."""

    bunches = tables.Column(_("Bunches"), attrs=RIGHT)

    class Meta:
        model = Dispatch
        fields = ("on", "order", "parcel", "bunches")
        order_by = LATEST
        empty_text = _("Nothing was sent yet.")


class InvoiceTable(tables.Table):
    """Invoices and credits, the latest number first."""

    gross = tables.Column(_("Sum"), attrs=RIGHT)
    owed = tables.Column(_("Owed"), attrs=RIGHT)

    class Meta:
        model = Invoice
        fields = ("number", "kind", "on", "customer", "due_on", "gross", "owed")
        order_by = "-number"
        empty_text = _("Nothing was invoiced yet.")


class PaymentTable(tables.Table):
    """Payments, the latest first."""

    amount = tables.Column(_("Amount"), attrs=RIGHT)

    class Meta:
        model = Payment
        fields = ("on", "invoice", "amount", "how")
        order_by = LATEST
        empty_text = _("No money was received yet.")


class SaleTable(tables.Table):
    """Retail sales, the latest first."""

    taken = tables.Column(_("Takings"), attrs=RIGHT)

    class Meta:
        model = Sale
        fields = ("on", "way", "stall_day", "customer", "taken", "paid", "note")
        order_by = LATEST
        empty_text = _("Nothing was sold yet.")


class StandingOrderTable(tables.Table):
    """Standing orders by the day they were wanted first, the latest first."""

    rhythm = tables.Column(_("Comes round"), empty_values=(), orderable=False)
    wanted = tables.Column(_("Lines"), empty_values=(), orderable=False, attrs=RIGHT)
    ended = tables.Column(_("Ended"), empty_values=(), orderable=False)

    class Meta:
        model = StandingOrder
        fields = ("first_on", "customer", "way", "rhythm", "wanted", "ended")
        order_by = ("-first_on", "-pk")
        empty_text = _("No standing order was agreed yet.")


class CardPayoutTable(tables.Table):
    """Card payouts, the latest first."""

    gross = tables.Column(_("Card sales by the payout"), attrs=RIGHT)
    fee = tables.Column(_("Fee kept"), attrs=RIGHT)

    class Meta:
        model = CardPayout
        fields = ("on", "way", "first_day", "last_day", "gross", "fee")
        order_by = LATEST
        empty_text = _("No card payout was entered yet.")


class StallDayTable(tables.Table):
    """Market days, the latest first."""

    taken = tables.Column(_("Takings"), attrs=RIGHT)

    class Meta:
        model = StallDay
        fields = ("on", "name", "way", "taken")
        order_by = LATEST
        empty_text = _("No market day was entered yet.")


class JobTable(tables.Table):
    """Jobs, the latest day first."""

    held_on_now = tables.Column(_("Day of the job"))
    stands_as = tables.Column(_("How it stands"), orderable=False)
    kept = tables.Column(_("Bunches kept"), attrs=RIGHT)
    quoted = tables.Column(_("Quoted"), attrs=RIGHT)
    deposits_held = tables.Column(_("Deposits held"), attrs=RIGHT)

    class Meta:
        model = Job
        fields = ("held_on_now", "name", "customer", "kind", "stands_as", "kept", "quoted", "deposits_held")
        order_by = ("-held_on_now", "-pk")
        empty_text = _("No job was asked about yet.")


class HireItemTable(tables.Table):
    """Things for hire by name."""

    owned = tables.Column(_("There are"), attrs=RIGHT)
    out = tables.Column(_("Out now"), attrs=RIGHT)
    charge = tables.Column(_("Hire of one"), attrs=RIGHT)
    breakage = tables.Column(_("One broken or lost"), attrs=RIGHT)

    class Meta:
        model = HireItem
        fields = ("name", "owned", "out", "charge", "breakage", "note")
        empty_text = _("Nothing is hired out yet.")


class WorkshopTable(tables.Table):
    """Workshops, the latest day first."""

    stands_as = tables.Column(_("How it stands"), orderable=False)
    sold = tables.Column(_("Places sold"), attrs=RIGHT)
    left = tables.Column(_("Places left"), attrs=RIGHT)
    held_money = tables.Column(_("Paid"), attrs=RIGHT)

    class Meta:
        model = Workshop
        fields = ("held_on", "name", "stands_as", "sold", "left", "held_money")
        order_by = ("-held_on", "-pk")
        empty_text = _("No workshop was offered yet.")
