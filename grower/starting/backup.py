"""A copy of the whole database that has been read back and found sound."""

import shutil
import sqlite3
import subprocess
from contextlib import closing
from datetime import datetime
from pathlib import Path

from django.db import connection

from .trouble import Trouble


def make(folder: Path, at: datetime) -> Path:
    """Write and verify a backup; return where it lies."""
    folder.mkdir(mode=0o700, exist_ok=True)
    name = f"ledger-{at:%Y-%m-%d-%H%M%S-%f}"
    return _sqlite(folder / f"{name}.sqlite3") if connection.vendor == "sqlite" else _postgres(folder / f"{name}.dump")


def _sqlite(path: Path) -> Path:
    try:
        with connection.cursor() as cursor:
            cursor.execute("VACUUM INTO %s", [str(path)])
        path.chmod(0o600)
        with closing(sqlite3.connect(path)) as copy:
            sound = copy.execute("PRAGMA integrity_check").fetchone()[0]
    except (OSError, sqlite3.Error) as error:
        raise Trouble(f"The backup before the update failed ({error}): nothing was changed; make room on the disk.") from error
    if sound != "ok":
        raise Trouble(f"The backup before the update is not sound ({sound}): nothing was changed; go back to an older backup.")
    return path


def _postgres(path: Path) -> Path:
    if not shutil.which("pg_dump") or not shutil.which("pg_restore"):
        raise Trouble(
            "The database wants an update, and pg_dump is not here to back it up: "
            "install PostgreSQL's client programs, or back it up yourself and start with --backed-up."
        )
    given = connection.get_connection_params()
    address = {"host": "host", "port": "port", "user": "user", "password": "password", "dbname": "dbname"}
    target = " ".join(f"{word}='{given[key]}'" for word, key in address.items() if given.get(key))
    _run("pg_dump", "--format=custom", f"--file={path}", f"--dbname={target}")
    _run("pg_restore", "--list", str(path))
    path.chmod(0o600)
    return path


def _run(*command: str) -> None:
    done = subprocess.run(command, capture_output=True, text=True, check=False)
    if done.returncode:
        why = (done.stderr.strip() or "no reason given").splitlines()[-1]
        raise Trouble(
            f"The backup before the update failed ({why}): nothing was changed; "
            "back the database up yourself and start with --backed-up."
        )
