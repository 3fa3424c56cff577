"""The filters of stock."""

import django_filters
from django.db.models import QuerySet
from django.utils.translation import gettext_lazy as _

from ledger.facts.forms import DayInput
from ledger.facts.queries import today
from ledger.growing.models import Variety

from .models import Batch, Box, Hold, KeepsFor, Line, Movement, Recipe, Run, StockCount, StockTake
from .queries import past_best


class BetweenDays(django_filters.FilterSet):
    """Facts from one day to another."""

    since = django_filters.DateFilter(field_name="on", lookup_expr="gte", label=_("From"), widget=DayInput())
    until = django_filters.DateFilter(field_name="on", lookup_expr="lte", label=_("To"), widget=DayInput())


def of_variety(field: str) -> django_filters.ModelChoiceFilter:
    """Rows of one variety, reached through `field`."""
    return django_filters.ModelChoiceFilter(
        queryset=Variety.objects.select_related("species"), field_name=field, label=_("Variety")
    )


def of_line(field: str) -> django_filters.ModelChoiceFilter:
    """Rows of one line, reached through `field`."""
    return django_filters.ModelChoiceFilter(queryset=Line.objects.whole(), field_name=field, label=_("Line"))


class LineFilter(django_filters.FilterSet):
    """Lines by variety, grade, finish and whether any is free."""

    variety = of_variety("variety")
    name = django_filters.CharFilter(lookup_expr="icontains", label=_("Name"))
    state = django_filters.ChoiceFilter(
        choices=[("free", _("some free")), ("there", _("some on hand")), ("named", _("made up or mixed"))],
        method="by_state", label=_("State"),
    )

    class Meta:
        model = Line
        fields = ("grade", "finish")

    def by_state(self, rows: QuerySet, _name: str, state: str) -> QuerySet:
        if state == "named":
            return rows.exclude(name="")
        return rows.filter(free__gt=0) if state == "free" else rows.filter(on_hand__gt=0)


class RunFilter(BetweenDays):
    """Runs by day and kind."""

    class Meta:
        model = Run
        fields = ("kind",)


class RecipeFilter(django_filters.FilterSet):
    """Recipes by what is made."""

    line = of_line("line")

    class Meta:
        model = Recipe
        fields = ()


class BatchFilter(BetweenDays):
    """Batches by line, day and whether any is left."""

    line = of_line("line")
    variety = of_variety("line__variety")
    left = django_filters.ChoiceFilter(choices=[("some", _("some left"))], method="by_left", label=_("State"))

    class Meta:
        model = Batch
        fields = ()

    def by_left(self, rows: QuerySet, _name: str, _state: str) -> QuerySet:
        return rows.filter(there__gt=0)


class AgeFilter(django_filters.FilterSet):
    """What is on hand by line, variety and whether it is past its best."""

    line = of_line("line")
    variety = of_variety("line__variety")
    state = django_filters.ChoiceFilter(choices=[("past", _("past its best"))], method="by_state", label=_("State"))

    class Meta:
        model = Batch
        fields = ()

    def by_state(self, rows: QuerySet, _name: str, _state: str) -> QuerySet:
        return past_best(rows, today())  # type: ignore[arg-type]


class KeepsForFilter(django_filters.FilterSet):
    """How long bunches keep by species."""

    class Meta:
        model = KeepsFor
        fields = ("species",)


class BoxFilter(django_filters.FilterSet):
    """Boxes by id, shelf, what is in them, and whether they are parcels."""

    code = django_filters.CharFilter(lookup_expr="icontains", label=_("Box"))
    shelf = django_filters.CharFilter(lookup_expr="icontains", label=_("Shelf"))
    line = django_filters.ModelChoiceFilter(queryset=Line.objects.whole(), method="by_line", label=_("Line"))
    state = django_filters.ChoiceFilter(
        choices=[
            ("full", _("something in it")), ("empty", _("empty")), ("held_back", _("held back")),
            ("parcel", _("parcels of orders")),
        ],
        method="by_state", label=_("State"),
    )

    class Meta:
        model = Box
        fields = ()

    def by_line(self, rows: QuerySet, _name: str, line: Line) -> QuerySet:
        return rows.filter(contents__batch__line=line, contents__bunches__gt=0).distinct()

    def by_state(self, rows: QuerySet, _name: str, state: str) -> QuerySet:
        if state == "parcel":
            return rows.filter(parcel=True)
        if state == "held_back":
            return rows.held_back(today())
        return rows.filter(bunches__gt=0) if state == "full" else rows.filter(bunches=0)


class MovementFilter(BetweenDays):
    """Rows of the stock book by what happened, line, box and day."""

    line = of_line("batch__line")
    box = django_filters.CharFilter(field_name="box__code", lookup_expr="iexact", label=_("Box"))
    batch = django_filters.NumberFilter(field_name="batch", label=_("Batch"))
    to_check = django_filters.ChoiceFilter(choices=[("yes", _("to be checked"))], method="by_check", label=_("State"))

    class Meta:
        model = Movement
        fields = ("kind",)

    def by_check(self, rows: QuerySet, _name: str, _state: str) -> QuerySet:
        return rows.filter(pk__in=Movement.objects.still_to_check().values("pk"))


class HoldFilter(BetweenDays):
    """Holds by line and how they stand."""

    line = of_line("line")
    state = django_filters.ChoiceFilter(
        choices=[("keeps", _("keeps some")), ("short", _("left short"))], method="by_state", label=_("State")
    )

    class Meta:
        model = Hold
        fields = ()

    def by_state(self, rows: QuerySet, _name: str, state: str) -> QuerySet:
        return rows.filter(kept__gt=0) if state == "keeps" else rows.filter(short__gt=0)


class StockCountFilter(BetweenDays):
    """Counts by box and day."""

    box = django_filters.CharFilter(field_name="box__code", lookup_expr="iexact", label=_("Box"))

    class Meta:
        model = StockCount
        fields = ()


class StockTakeFilter(BetweenDays):
    """Stock-takes by shelf, line, day and whether they are ended."""

    shelf = django_filters.CharFilter(lookup_expr="icontains", label=_("Shelf"))
    line = of_line("line")
    state = django_filters.ChoiceFilter(
        choices=[("open", _("not ended")), ("ended", _("put into the book"))], method="by_state", label=_("State")
    )

    class Meta:
        model = StockTake
        fields = ()

    def by_state(self, rows: QuerySet, _name: str, state: str) -> QuerySet:
        return rows.filter(ended__isnull=state == "open")
