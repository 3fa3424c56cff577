"""Plots and drying places, with what their years are expected to cost."""

from collections import defaultdict
from datetime import date, datetime

from ledger.daybook.models import YearOfSpace
from ledger.drying.models import Place
from ledger.growing.models import Plot
from ledger.reckoning.book import SpaceFact
from ledger.reckoning.sharing import MILLION

from .rows import hundredths, rows_as_of


def spaces_as_of(on: date, known: datetime | None) -> list[SpaceFact]:
    """Every plot and drying place with its years as entered by a day."""
    years: dict[int, dict[int, tuple[int, int]]] = defaultdict(dict)
    for space, year, cost, normal in rows_as_of(
        YearOfSpace, on, known, "space_id", "year", "expected_cost", "normal_unit_days"
    ):
        years[space][year] = (cost * MILLION, normal)
    plots = [
        SpaceFact(pk, "plot", hundredths(area), years[pk])
        for pk, area in Plot.objects.order_by("pk").values_list("pk", "area_m2")
    ]
    places = [
        SpaceFact(pk, "place", room, years[pk]) for pk, room in Place.objects.order_by("pk").values_list("pk", "room")
    ]
    return plots + places
