"""Workers, hours, pay and purchases, made by the stage's own verbs."""

from collections.abc import Sequence
from datetime import date

import factory

from ledger.daybook import actions
from ledger.daybook.models import Pay, Purchase, WorkEntry, Worker, WorkerRate, YearOfSpace
from ledger.facts.models import CostKind, CostObject
from ledger.facts.queries import holding

from .drying import ByOwner, PlotFactory


class WorkerFactory(ByOwner):
    class Meta:
        model = Worker

    name = factory.Sequence(lambda n: f"Juniper {n}")
    paid = True
    _act = staticmethod(actions.add_worker)


class RateFactory(ByOwner):
    class Meta:
        model = WorkerRate

    worker = factory.SubFactory(WorkerFactory)
    on = date(2024, 1, 1)
    per_hour = 1200
    _act = staticmethod(actions.set_worker_rate)


def rated_worker(**given: object) -> Worker:
    """A paid worker whose hour costs 12.00 from the first day of 2024."""
    return RateFactory(worker=WorkerFactory(**given)).worker


def the_holding() -> list[tuple[CostObject, int]]:
    """The holding alone, as what something was spent on."""
    return [(holding().cost_object, 1)]


class PayFactory(ByOwner):
    class Meta:
        model = Pay

    worker = factory.SubFactory(WorkerFactory)
    on = date(2024, 7, 31)
    first_day = date(2024, 7, 1)
    last_day = date(2024, 7, 31)
    amount = 40000
    _act = staticmethod(actions.record_pay)


class WorkFactory(ByOwner):
    class Meta:
        model = WorkEntry

    worker = factory.LazyFunction(rated_worker)
    on = date(2024, 7, 1)
    minutes = 90
    task = "cutting"
    spent_on = factory.LazyFunction(the_holding)
    _act = staticmethod(actions.note_work)


def bought(
    description: str = "twine", *, kind: str = "packing", net: int = 1000, tax: int = 200,
    spent_on: Sequence[tuple[CostObject, int]] | None = None, **covers: date,
) -> actions.BoughtLine:
    """One line of a bill, for the holding unless said otherwise."""
    return actions.BoughtLine(description, CostKind.objects.get(code=kind), net, tax, spent_on or the_holding(), **covers)


class PurchaseFactory(ByOwner):
    class Meta:
        model = Purchase

    on = date(2024, 3, 1)
    supplier = "Seed house"
    lines = factory.LazyFunction(lambda: [bought()])
    _act = staticmethod(actions.record_purchase)


class YearOfSpaceFactory(ByOwner):
    class Meta:
        model = YearOfSpace

    space = factory.LazyFunction(lambda: PlotFactory().cost_object)
    on = date(2024, 1, 2)
    year = 2024
    expected_cost = 50000
    normal_unit_days = 0
    _act = staticmethod(actions.set_year_of_space)
