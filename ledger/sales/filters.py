"""The filters of sales."""

import django_filters
from django.db.models import Exists, F, OuterRef, QuerySet
from django.utils.translation import gettext_lazy as _

from ledger.facts.queries import today
from ledger.pricing.models import Way
from ledger.stock.filters import BetweenDays
from ledger.stock.models import Line

from .models import CardPayout, Customer, Dispatch, Invoice, Order, Payment, Sale, StallDay, StandingEnd, StandingOrder


def of_customer(field: str) -> django_filters.ModelChoiceFilter:
    """Rows of one customer, reached through `field`."""
    return django_filters.ModelChoiceFilter(queryset=Customer.objects.all(), field_name=field, label=_("Customer"))


class CustomerFilter(django_filters.FilterSet):
    """Customers by name and whether they are trade."""

    name = django_filters.CharFilter(lookup_expr="icontains", label=_("Name"))
    trade = django_filters.BooleanFilter(label=_("Trade customer"))

    class Meta:
        model = Customer
        fields = ()


class OrderFilter(BetweenDays):
    """Orders by customer, line, day and how they stand."""

    customer = of_customer("customer")
    line = django_filters.ModelChoiceFilter(
        queryset=Line.objects.whole(), field_name="lines__line", distinct=True, label=_("Line")
    )
    state = django_filters.ChoiceFilter(
        choices=[
            ("open", _("something still promised")), ("packed", _("packed, to be sent")),
            ("to_invoice", _("sent, to be invoiced")), ("done", _("all sent and invoiced")),
        ],
        method="by_state", label=_("State"),
    )

    class Meta:
        model = Order
        fields = ()

    def by_state(self, rows: QuerySet, _name: str, state: str) -> QuerySet:
        if state == "done":
            return rows.filter(kept=0, packed=0, to_invoice=0, sent__gt=0, sent__gte=F("asked"))
        return rows.filter(**{f"{ {'open': 'kept', 'packed': 'here'}.get(state, state)}__gt": 0})


class DispatchFilter(BetweenDays):
    """Dispatches by customer and day."""

    customer = of_customer("order__customer")

    class Meta:
        model = Dispatch
        fields = ()


class InvoiceFilter(BetweenDays):
    """Invoices by customer, kind, day and whether something is owed."""

    customer = of_customer("customer")
    state = django_filters.ChoiceFilter(
        choices=[("owed", _("something owed")), ("overdue", _("overdue"))], method="by_state", label=_("State")
    )

    class Meta:
        model = Invoice
        fields = ("kind",)

    def by_state(self, rows: QuerySet, _name: str, state: str) -> QuerySet:
        rows = rows.filter(owed__gt=0)
        return rows.filter(due_on__lt=today()) if state == "overdue" else rows


class PaymentFilter(BetweenDays):
    """Payments by customer and day."""

    customer = of_customer("invoice__customer")

    class Meta:
        model = Payment
        fields = ()


class SaleFilter(BetweenDays):
    """Sales by way, market day and day."""

    way = django_filters.ModelChoiceFilter(queryset=Way.objects.all(), label=_("Way of selling"))
    stall_day = django_filters.ModelChoiceFilter(queryset=StallDay.objects.standing(), label=_("Stall day"))

    class Meta:
        model = Sale
        fields = ()


class CardPayoutFilter(BetweenDays):
    """Card payouts by way and day."""

    way = django_filters.ModelChoiceFilter(queryset=Way.objects.retail(), label=_("Way of selling"))

    class Meta:
        model = CardPayout
        fields = ()


class StandingOrderFilter(django_filters.FilterSet):
    """Standing orders by customer and line, and whether they go on."""

    customer = of_customer("customer")
    line = django_filters.ModelChoiceFilter(queryset=Line.objects.whole(), field_name="lines__line", label=_("Line"))
    goes_on = django_filters.BooleanFilter(method="by_going_on", label=_("Goes on"))

    class Meta:
        model = StandingOrder
        fields = ()

    def by_going_on(self, rows: QuerySet, _name: str, goes_on: bool) -> QuerySet:
        """Those without an ending by today, or with one."""
        ended = Exists(StandingEnd.objects.standing_on(today()).filter(standing_order=OuterRef("pk")))
        return rows.exclude(ended) if goes_on else rows.filter(ended)


class StallDayFilter(BetweenDays):
    """Market days by way and day."""

    way = django_filters.ModelChoiceFilter(queryset=Way.objects.all(), label=_("Way of selling"))

    class Meta:
        model = StallDay
        fields = ()
