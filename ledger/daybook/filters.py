"""The filters of the daybook."""

import django_filters
from django.utils.translation import gettext_lazy as _

from ledger.facts.forms import DayInput

from .models import Material, Pay, Purchase, WorkEntry, Worker, YearOfSpace


class _ByDay(django_filters.FilterSet):
    """Facts from one day to another."""

    since = django_filters.DateFilter(field_name="on", lookup_expr="gte", label=_("From"), widget=DayInput())
    until = django_filters.DateFilter(field_name="on", lookup_expr="lte", label=_("To"), widget=DayInput())


class WorkerFilter(django_filters.FilterSet):
    """Workers by name."""

    name = django_filters.CharFilter(lookup_expr="icontains", label=_("Name"))

    class Meta:
        model = Worker
        fields = ("name", "paid")


class WorkFilter(_ByDay):
    """Work by worker, task, day and words of what it was spent on."""

    thing = django_filters.CharFilter(
        field_name="shares__spent_on__label", lookup_expr="icontains", distinct=True, label=_("Spent on")
    )

    class Meta:
        model = WorkEntry
        fields = ("worker", "task")


class PayFilter(_ByDay):
    """Pay by worker and day."""

    class Meta:
        model = Pay
        fields = ("worker",)


class PurchaseFilter(_ByDay):
    """Purchases by supplier and day."""

    supplier = django_filters.CharFilter(lookup_expr="icontains", label=_("Supplier"))

    class Meta:
        model = Purchase
        fields = ("supplier",)


class YearOfSpaceFilter(django_filters.FilterSet):
    """Years of space by year."""

    class Meta:
        model = YearOfSpace
        fields = ("year",)


class MaterialFilter(django_filters.FilterSet):
    """Materials by name."""

    name = django_filters.CharFilter(lookup_expr="icontains", label=_("Name"))

    class Meta:
        model = Material
        fields = ("name", "by_count")
