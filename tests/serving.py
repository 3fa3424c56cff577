"""Real commands and servers on a folder of their own, as a grower would start them."""

import os
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from django.conf import settings


def manage(folder: Path, *arguments: str, **environment: str) -> tuple[str, int]:
    """Run a command of the ledger on a folder; return what it said and its code."""
    done = subprocess.run(
        [sys.executable, "manage.py", *arguments], cwd=settings.ROOT, env=clean(folder, environment),
        capture_output=True, text=True, timeout=300, check=False,
    )
    return done.stdout + done.stderr, done.returncode


def clean(folder: Path, more: dict[str, str]) -> dict[str, str]:
    """The environment without what this test run set for itself."""
    kept = {name: value for name, value in os.environ.items() if not name.startswith(("LEDGER_", "DJANGO_", "DATABASE_"))}
    return {**kept, "LEDGER_HOME": str(folder), **more}


@contextmanager
def serving(folder: Path, *arguments: str, **environment: str) -> Iterator[list[str]]:
    """A server on any free port; gives the lines it printed up to its address."""
    command = [sys.executable, "manage.py", "start", "--port", "0", *arguments]
    server = subprocess.Popen(command, cwd=settings.ROOT, env=clean(folder, environment), stdout=subprocess.PIPE, text=True)
    try:
        lines = []
        for line in server.stdout:
            lines.append(line)
            if line.startswith("The ledger is open"):
                break
        yield lines
    finally:
        server.terminate()
        server.wait(timeout=20)
        server.stdout.close()
