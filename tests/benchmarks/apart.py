"""A ledger of its own for one measurement: a file made for it, or a scratch database on the server `DATABASE_URL` names."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from typing import Any
from urllib.parse import urlsplit, urlunsplit


def measured_apart(module: str, *asked: str) -> None:
    """Run `module --one ...` in a process with a ledger of its own, made away with afterwards."""
    with tempfile.TemporaryDirectory() as home, _scratch() as place:
        subprocess.run(
            [sys.executable, "-m", module, "--one", *asked], check=True,
            env={**os.environ, **place, "LEDGER_HOME": home, "DJANGO_SETTINGS_MODULE": "tests.settings"},
        )


@contextmanager
def _scratch() -> Iterator[dict[str, str]]:
    if not os.environ.get("DATABASE_URL", "").startswith("postgres"):
        yield {}
        return
    import psycopg

    server = urlsplit(os.environ["DATABASE_URL"])
    name = f"{server.path.lstrip('/')}_measured_{os.getpid()}"
    with psycopg.connect(os.environ["DATABASE_URL"], autocommit=True) as desk:
        desk.execute(f'CREATE DATABASE "{name}"')
        try:
            yield {"DATABASE_URL": urlunsplit(server._replace(path=f"/{name}"))}
        finally:
            desk.execute(f'DROP DATABASE IF EXISTS "{name}" WITH (FORCE)')


def migrated() -> str:
    """Load Django and make the tables, from a copy where the tests keep one; say which engine it is."""
    import django

    django.setup()
    from django.core.management import call_command
    from django.db import connection

    from tests.migrated import CACHE, _sum_of_migrations

    already = CACHE / f"migrated-{_sum_of_migrations()}.sqlite3"
    if connection.vendor == "sqlite" and already.exists():
        shutil.copy(already, connection.settings_dict["NAME"])
    call_command("migrate", verbosity=0)
    return str(connection.vendor)


def new_owner() -> Any:
    """The owner of an invented holding."""
    from datetime import date

    from ledger.facts.actions import set_up

    return set_up(
        name="Bench", currency="GBP", time_zone="UTC", year_end_month=12, year_end_day=31, season_first_month=1,
        status="none", on=date(2020, 1, 1), username="owner", password="teasel-and-honesty",
    )


def print_row(texts: Sequence[str], width: int = 14) -> None:
    """A row of the table."""
    print("  ".join(text.rjust(width) for text in texts), flush=True)
