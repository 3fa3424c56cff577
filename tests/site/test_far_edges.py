"""Far edges: a number no record has, other currencies, time zones and year ends."""

from datetime import date

import pytest
from django.test import Client
from django.urls import reverse

from ledger.facts.actions import change_holding, set_up
from ledger.facts.models import Holding, User
from tests.conftest import PASSWORD
from tests.plenty import spin_plenty
from tests.site.test_every_address import addresses

pytestmark = pytest.mark.django_db
NUMBERLESS = {route for route, _name in addresses() if "/1/" not in route}


def test_a_number_no_database_holds_is_a_page_not_found(owner, client_as):
    """A mistyped address is no fault of the program."""
    client = client_as(owner)
    client.raise_request_exception = False
    routes = [route.replace("/1/", f"/{10**25}/") for route, _name in addresses() if route not in NUMBERLESS]

    assert {route: code for route in routes if (code := client.get(route).status_code) not in {403, 404, 405}} == {}


ASKED = (
    "on=0001-01-01", "on=9999-12-31", "season=99999999999999999999", "page=-1", "page=9999999999999999",
    "&".join(f"{name}={10**25}" for name in "bed planting lot place hanging line box batch way worker stall_day".split()),
)


@pytest.mark.parametrize("asked", ASKED)
def test_an_absurd_question_is_answered_or_refused(owner, client_as, asked):
    """Whatever stands behind the question mark."""
    client = client_as(owner)
    client.raise_request_exception = False

    assert [route for route in NUMBERLESS if client.get(f"{route}?{asked}").status_code >= 500] == []


def test_an_address_of_several_lines_is_changed_in_a_browser(owner, client_as):
    """A browser sends line ends its own way; that is no change by somebody else."""
    change_holding(by=owner, seen={}, address="Hollow Lane\nBirch End")
    form = client_as(owner).get(reverse("facts:change_holding")).context["form"]
    sent = {name: str(form[name].value()).replace("\n", "\r\n") for name in form.fields}

    answer = client_as(owner).post(reverse("facts:change_holding"), {**sent, "name": "Birch End Flowers"})

    assert (answer.status_code, Holding.objects.get().name) == (302, "Birch End Flowers")


@pytest.mark.parametrize(
    ("currency", "zone", "month", "day", "season"),
    [("JPY", "Pacific/Kiritimati", 4, 5, 4), ("BHD", "Pacific/Niue", 2, 29, 7)],
)
def test_other_currencies_zones_and_years_are_walked_without_a_fault(db, currency, zone, month, day, season):
    """No decimals or three, a day ahead or behind, a year ending on 5 April or the last of February."""
    set_up(
        name="Hollow Lane Flowers", currency=currency, time_zone=zone, year_end_month=month, year_end_day=day,
        season_first_month=season, status="none", on=date(2020, 1, 1), username="owner", password=PASSWORD,
    )
    owner = User.objects.get()
    spin_plenty(owner, close=date(2024, month, day))
    client = Client(raise_request_exception=False)
    client.force_login(owner, backend="django.contrib.auth.backends.ModelBackend")
    routes = [route for route, _name in addresses() if "paper" not in route and "label" not in route]

    assert [route for route in routes if client.get(route).status_code >= 500] == []
