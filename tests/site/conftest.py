"""The ledger with one of everything, for tests that walk the whole site."""

from collections.abc import Callable, Iterator
from datetime import date

import pytest
from django.apps import apps
from django.core.management.color import no_style
from django.db import connection, transaction
from django.test import Client

from ledger.facts.actions import set_up
from ledger.facts.models import User
from tests.conftest import PASSWORD
from tests.plenty import Plenty, spin_plenty


@pytest.fixture(scope="module")
def plenty(django_db_setup: None, django_db_blocker) -> Iterator[Plenty]:
    """A ledger with one of everything, spun once for a file and taken out again."""
    with django_db_blocker.unblock(), transaction.atomic():
        number_from_one()
        set_up(
            name="Hollow Lane Flowers", currency="GBP", time_zone="UTC", year_end_month=12, year_end_day=31,
            season_first_month=1, status="none", on=date(2020, 1, 1), username="owner", password=PASSWORD,
        )
        yield spin_plenty(User.objects.get())
        transaction.set_rollback(True)


def number_from_one() -> None:
    """Let keys begin anew on PostgreSQL, where earlier tests took numbers and gave back only rows."""
    models = [model for model in apps.get_models() if model.__module__.startswith("ledger.")]
    with connection.cursor() as cursor:
        for statement in connection.ops.sequence_reset_sql(no_style(), models):
            cursor.execute(statement)


@pytest.fixture
def signed_in() -> Callable[[User], Client]:
    """A browser signed in as the person given, that shows a fault as a page."""

    def browser(user: User) -> Client:
        client = Client(raise_request_exception=False)
        client.force_login(user, backend="django.contrib.auth.backends.ModelBackend")
        return client

    return browser
