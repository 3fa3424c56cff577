"""Workshops and things for hire, made by the stage's own verbs."""

from datetime import date

import factory

from ledger.sales import actions
from ledger.sales.models import HireItem, JobHire, PlacesSold, Workshop

from .drying import ByOwner
from .jobs import JobFactory
from .pricing import StallFactory

OFFERED, SOLD, HELD = date(2024, 10, 1), date(2024, 10, 8), date(2024, 11, 16)
PLANNED, FIRST, LAST = date(2024, 8, 14), date(2024, 9, 13), date(2024, 9, 16)


class WorkshopFactory(ByOwner):
    """Eight places at 45.00 on 16 November 2024, offered on 1 October by a way whose prices are with tax."""

    class Meta:
        model = Workshop

    on = OFFERED
    name = factory.Sequence(lambda n: f"Wreaths from the loft {n}")
    way = factory.SubFactory(StallFactory)
    held_on = HELD
    places = 8
    price = 4500
    _act = staticmethod(actions.offer_workshop)


class PlacesFactory(ByOwner):
    """Two places sold at the workshop's price."""

    class Meta:
        model = PlacesSold

    workshop = factory.SubFactory(WorkshopFactory)
    on = SOLD
    places = 2
    _act = staticmethod(actions.sell_places)


class HireItemFactory(ByOwner):
    """Twelve jars from 1 March 2024, hired at 1.50 each, 4.00 for a broken one."""

    class Meta:
        model = HireItem

    name = factory.Sequence(lambda n: f"Stone jar {n}")
    charge = 150
    breakage = 400
    owned = 12
    on = date(2024, 3, 1)
    _act = staticmethod(actions.add_hire_item)


class HireFactory(ByOwner):
    """Ten jars planned to be out with a wedding from 13 to 16 September 2024."""

    class Meta:
        model = JobHire

    job = factory.SubFactory(JobFactory)
    item = factory.SubFactory(HireItemFactory)
    on = PLANNED
    quantity = 10
    first_day = FIRST
    last_day = LAST
    _act = staticmethod(actions.plan_hire)
