"""The filters of sales."""

import django_filters
from django.db.models import Exists, F, OuterRef, QuerySet
from django.utils.translation import gettext_lazy as _

from ledger.facts.forms import DayInput
from ledger.facts.queries import today
from ledger.pricing.models import Way
from ledger.stock.filters import BetweenDays
from ledger.stock.models import Line

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
    StandingEnd,
    StandingOrder,
    Workshop,
)
from .queries.job_lists import in_job_state


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
        if state == "to_invoice":
            return rows.to_be_invoiced()  # type: ignore[attr-defined,no-any-return]
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


class JobFilter(django_filters.FilterSet):
    """Jobs by name, customer, kind, the day of the job as last said, and how they stand."""

    name = django_filters.CharFilter(lookup_expr="icontains", label=_("Name"))
    customer = of_customer("customer")
    since = django_filters.DateFilter(field_name="held_on_now", lookup_expr="gte", label=_("From"), widget=DayInput())
    until = django_filters.DateFilter(field_name="held_on_now", lookup_expr="lte", label=_("To"), widget=DayInput())
    state = django_filters.ChoiceFilter(
        choices=[
            ("open", _("still to be done")), ("asked", _("asked about")), ("agreed", _("agreed")), ("done", _("done")),
            ("cancelled", _("cancelled")), ("past", _("past and not said to be done")), ("running_out", _("quote running out")),
            ("lapsed", _("quote run out")), ("to_invoice", _("to be invoiced")), ("hire_overdue", _("hired things overdue")),
            ("money", _("deposits held")), ("give_back", _("deposits to give back")),
        ],
        method="by_state", label=_("State"),
    )

    class Meta:
        model = Job
        fields = ("kind",)

    def by_state(self, rows: QuerySet, _name: str, state: str) -> QuerySet:
        found: QuerySet = in_job_state(rows, state, today())
        return found


class HireItemFilter(django_filters.FilterSet):
    """Things for hire by name, and whether any of them are out."""

    name = django_filters.CharFilter(lookup_expr="icontains", label=_("Name"))
    is_out = django_filters.BooleanFilter(method="by_out", label=_("Some are out"))

    class Meta:
        model = HireItem
        fields = ()

    def by_out(self, rows: QuerySet, _name: str, out: bool) -> QuerySet:
        """Those of which some are out now, or none."""
        return rows.filter(out__gt=0) if out else rows.filter(out__lte=0)


class WorkshopFilter(django_filters.FilterSet):
    """Workshops by name, the day they are held and how they stand."""

    name = django_filters.CharFilter(lookup_expr="icontains", label=_("Name"))
    since = django_filters.DateFilter(field_name="held_on", lookup_expr="gte", label=_("From"), widget=DayInput())
    until = django_filters.DateFilter(field_name="held_on", lookup_expr="lte", label=_("To"), widget=DayInput())
    state = django_filters.ChoiceFilter(
        choices=[
            ("to_come", _("to come")), ("free", _("places left")), ("past", _("past and not said to be held")),
            ("held", _("held")), ("called_off", _("called off")),
        ],
        method="by_state", label=_("State"),
    )

    class Meta:
        model = Workshop
        fields = ()

    def by_state(self, rows: QuerySet, _name: str, state: str) -> QuerySet:
        """Those that stand so today."""
        if state in ("held", "called_off"):
            return rows.filter(stands_as=state)
        rows = rows.filter(stands_as="to_come")
        if state == "past":
            return rows.filter(held_on__lt=today())
        rows = rows.filter(held_on__gte=today())
        return rows.filter(left__gt=0) if state == "free" else rows
