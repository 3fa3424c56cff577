"""The holding and its people, and the proof after every test that wrote."""

import os
import shutil
from collections.abc import Callable, Iterator
from datetime import date
from typing import Any

import pytest
from django.db import connection
from django.test import Client
from hypothesis import settings as hypothesis_settings

from ledger.facts.actions import add_person, set_up
from ledger.facts.models import Holding, User
from tests.flushing import empty_past_the_guards
from tests.migrated import migrated_once
from tests.proving import prove_after

PASSWORD = "teasel-and-honesty"
hypothesis_settings.register_profile("ci", derandomize=True, deadline=None)
hypothesis_settings.load_profile("ci")


def chromium() -> str | None:
    """Where Debian's Chromium is; None where it is not installed."""
    return os.environ.get("LEDGER_CHROMIUM") or shutil.which("chromium") or shutil.which("chromium-browser")


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Skip what needs a program that is not here."""
    for item in items:
        if item.get_closest_marker("browser") and not chromium():
            item.add_marker(pytest.mark.skip(reason="no Chromium"))
        if item.get_closest_marker("postgres") and connection.vendor != "postgresql":
            item.add_marker(pytest.mark.skip(reason="no PostgreSQL"))


LEFT_OUT = {"no Chromium": "browser tests (no Chromium)", "no PostgreSQL": "PostgreSQL tests (no DATABASE_URL)"}


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    """Say in one line how many tests ran where, and what was left out for want of a program."""
    ran = [one for outcome in ("passed", "failed") for one in terminalreporter.stats.get(outcome, []) if one.when == "call"]
    browser = sum("browser" in one.keywords for one in ran)
    skips = [str(one.longrepr) for one in terminalreporter.stats.get("skipped", [])]
    counted = [(sum(why in skip for skip in skips), what) for why, what in LEFT_OUT.items()]
    left_out = ", ".join(f"{count} {what}" for count, what in counted if count) or "nothing"
    terminalreporter.write_line(f"Ran {len(ran)} tests on {connection.vendor}, {browser} in a browser; left out: {left_out}.")


@pytest.fixture(scope="session")
def django_db_modify_db_settings(django_db_modify_db_settings: None) -> None:
    """Let the test database be copied from one already migrated (tests/migrated.py)."""
    make = connection.creation.create_test_db

    def made(*args: Any, **given: Any) -> str:
        with migrated_once():
            return make(*args, **given)

    connection.creation.create_test_db = made
    empty_past_the_guards()


@pytest.fixture(autouse=True)
def _proved(request: pytest.FixtureRequest) -> Iterator[None]:
    """Prove the ledger after every test that wrote."""
    names = {"db", "transactional_db", "holding"}
    if request.node.get_closest_marker("django_db") is None and not names & set(request.fixturenames):
        yield
        return
    request.getfixturevalue("_django_db_helper")
    yield
    prove_after(request)


@pytest.fixture
def holding(db: None) -> Holding:
    """An invented holding: pounds, UTC, the calendar year, not registered for tax."""
    set_up(
        name="Hollow Lane Flowers", currency="GBP", time_zone="UTC", year_end_month=12, year_end_day=31,
        season_first_month=1, status="none", on=date(2020, 1, 1), username="owner", password=PASSWORD,
    )
    return Holding.objects.get(pk=1)


@pytest.fixture
def owner(holding: Holding) -> User:
    """The one who may do everything."""
    return User.objects.get(role=User.Role.OWNER)


@pytest.fixture
def hand(owner: User) -> User:
    """One of field, loft and boxes, who sees no money."""
    return add_person(by=owner, username="hand", password=PASSWORD, role="hand")


@pytest.fixture
def seller(owner: User) -> User:
    """One of prices, orders and the stall, who sees no costs."""
    return add_person(by=owner, username="seller", password=PASSWORD, role="seller")


@pytest.fixture
def bookkeeper(owner: User) -> User:
    """One of money, who enters nothing from the field."""
    return add_person(by=owner, username="bookkeeper", password=PASSWORD, role="bookkeeper")


@pytest.fixture
def client_as() -> Callable[[User], Client]:
    """A browser signed in as the person given."""

    def signed_in(user: User) -> Client:
        client = Client()
        client.force_login(user, backend="django.contrib.auth.backends.ModelBackend")
        return client

    return signed_in
