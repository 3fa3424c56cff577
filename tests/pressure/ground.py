"""A ledger of its own for tests that press it: a real file, or a scratch database on the PostgreSQL server of this run."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit, urlunsplit

from django.conf import settings
from django.db import connection

from tests.migrated import CACHE, _sum_of_migrations

LONGEST_S = 300
NOT_PASSED_ON = ("LEDGER_", "DJANGO_", "DATABASE_", "COVERAGE_")


@dataclass
class Ground:
    """Where the ledger lies, and what was made in it."""

    environment: dict[str, str]
    made: dict[str, Any] = field(default_factory=dict)

    def start(self, *asked: str, module: str = "tests.pressure.work") -> subprocess.Popen[str]:
        """Begin a process of the ledger."""
        return subprocess.Popen(
            [sys.executable, "-m", module, *asked], cwd=settings.ROOT, env=self.environment, text=True,
            stdout=subprocess.PIPE, stderr=subprocess.PIPE,
        )

    def ask(self, *asked: str) -> Any:
        """Let a process of the ledger do something and say what came of it."""
        process = self.start(*asked)
        said, complained = process.communicate(timeout=LONGEST_S)
        assert process.returncode == 0, complained
        return json.loads(said.splitlines()[-1])

    def proved(self) -> None:
        """Fail unless the ledger proves, read by the command itself."""
        done = subprocess.run(
            [sys.executable, "manage.py", "prove"], cwd=settings.ROOT, env=self.environment, capture_output=True, text=True,
            timeout=LONGEST_S, check=False,
        )
        assert done.returncode == 0, done.stdout + done.stderr


@contextmanager
def ground(folder: Path) -> Iterator[Ground]:
    """A ledger with a small season in it, made away with afterwards."""
    environment = {name: value for name, value in os.environ.items() if not name.startswith(NOT_PASSED_ON)}
    environment |= {
        "LEDGER_HOME": str(folder), "DJANGO_SETTINGS_MODULE": "tests.settings", "PYTHONPATH": str(settings.ROOT),
        "LEDGER_SECRET_KEY": "only-for-tests-and-never-for-a-holding-0123456789",
    }
    if connection.vendor == "postgresql":
        with _scratch_database() as url:
            yield _laid({**environment, "DATABASE_URL": url})
    else:
        already = CACHE / f"migrated-{_sum_of_migrations()}.sqlite3"
        if already.exists():
            shutil.copy(already, folder / "ledger.sqlite3")
        yield _laid(environment)


def _laid(environment: dict[str, str]) -> Ground:
    laid = Ground(environment)
    laid.made = laid.ask("set_up")
    return laid


@contextmanager
def _scratch_database() -> Iterator[str]:
    """An empty database beside the one of this run; its name begins alike, so that who made that one clears it away too."""
    import psycopg

    server = urlsplit(os.environ["DATABASE_URL"])
    name = f"{server.path.lstrip('/')}_pressed_{os.getpid()}"
    with psycopg.connect(os.environ["DATABASE_URL"], autocommit=True) as desk:
        desk.execute(f'DROP DATABASE IF EXISTS "{name}" WITH (FORCE)')
        desk.execute(f'CREATE DATABASE "{name}"')
        try:
            yield urlunsplit(server._replace(path=f"/{name}"))
        finally:
            desk.execute(f'DROP DATABASE IF EXISTS "{name}" WITH (FORCE)')
