"""A migrated SQLite database kept from run to run under the sum of all migrations.

Migrating an empty database takes most of a short run. The first run after a
migration changed migrates as ever and keeps the result in pytest's own cache
folder, later ones copy it into memory. PostgreSQL always migrates.
"""

from __future__ import annotations

import hashlib
import os
import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path
from typing import Any
from unittest import mock

import django
from django.apps import apps
from django.conf import settings
from django.db import connection
from django.db.migrations.loader import MigrationLoader

CACHE = Path(__file__).parent.parent / ".pytest_cache"


@contextmanager
def migrated_once() -> Iterator[None]:
    """While a test database is made, copy the kept one instead of migrating, or keep the one just migrated."""
    if connection.vendor != "sqlite" or not connection.creation.is_in_memory_db(connection.creation._get_test_db_name()):
        yield
        return
    kept = CACHE / f"migrated-{_sum_of_migrations()}.sqlite3"
    if not kept.exists():
        yield
        _keep(kept)
        return
    with mock.patch("django.core.management.call_command", _copied_from(kept)):
        yield


def _sum_of_migrations() -> str:
    """What names the kept database: every migration of every app, as it is written."""
    found = hashlib.sha256(f"{django.__version__} {settings.INSTALLED_APPS}".encode())
    for config in apps.get_app_configs():
        name, _ = MigrationLoader.migrations_module(config.label)
        folder = Path(config.path) / "migrations"
        for path in sorted(folder.glob("*.py")) if name else ():
            found.update(path.name.encode() + path.read_bytes())
    return found.hexdigest()[:16]


def _copied_from(kept: Path) -> Any:
    from django.core.management import call_command

    def call(name: str, *args: Any, **given: Any) -> Any:
        if name != "migrate":
            return call_command(name, *args, **given)
        connection.ensure_connection()
        with closing(sqlite3.connect(kept)) as source:
            source.backup(connection.connection)
        return None

    return call


def _keep(kept: Path) -> None:
    """Keep what was just migrated; another run may do the same at this moment, so it is moved into place whole."""
    CACHE.mkdir(exist_ok=True)
    draft = CACHE / f"{kept.name}.{os.getpid()}"
    with closing(sqlite3.connect(draft)) as target:
        connection.connection.backup(target)
    for old in CACHE.glob("migrated-*.sqlite3"):
        old.unlink(missing_ok=True)
    draft.replace(kept)
