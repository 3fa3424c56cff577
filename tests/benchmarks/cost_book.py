"""The cost book cold and warm beside a bare read of the same rows, with memory and pages.

    python -m tests.benchmarks.cost_book 1000 10000 100000 1000000

Each size runs in a process and a database of its own. Aims at 100,000 facts:
cold within 8 times the bare read, a warm page within twice an empty page.
"""

from __future__ import annotations

import os
import resource
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from contextlib import suppress
from datetime import date
from typing import Any

ON = date(2025, 12, 31)
HEADS = ("facts", "bare s", "cold s", "cold/bare", "warm s", "empty page ms", "sheet ms", "figure ms", "lot ms", "MiB")


def main(sizes: list[int]) -> None:
    """Print a row a size."""
    print("  ".join(head.rjust(13) for head in HEADS), flush=True)
    for size in sizes:
        with tempfile.TemporaryDirectory() as home:
            subprocess.run(
                [sys.executable, "-m", "tests.benchmarks.cost_book", "--one", str(size)],
                check=True, env={**os.environ, "LEDGER_HOME": home, "DJANGO_SETTINGS_MODULE": "tests.settings"},
            )


def one(size: int) -> None:
    """Make a season of that size and measure it in this process."""
    import django

    django.setup()
    from django.core.management import call_command

    call_command("migrate", verbosity=0)
    owner = _owner()
    from .seasons import make_season

    make_season(size, owner)
    figures = measure(owner)
    print("  ".join(text.rjust(13) for text in (str(_facts()), *figures)), flush=True)


def _owner() -> Any:
    from ledger.facts.actions import set_up

    return set_up(
        name="Bench", currency="GBP", time_zone="UTC", year_end_month=12, year_end_day=31, season_first_month=1,
        status="none", on=date(2020, 1, 1), username="owner", password="teasel-and-honesty",
    )


def _facts() -> int:
    from django.apps import apps

    from ledger.facts.models import Fact

    return sum(model._base_manager.count() for model in apps.get_models() if issubclass(model, Fact))


def measure(owner: Any) -> tuple[str, ...]:
    """The figures of one size, as text."""
    from ledger.costing.queries import book, forget_books, fresh_book
    from ledger.growing.models import Lot
    from ledger.stock.models import Line

    statements = _statements(lambda: fresh_book(ON))
    bare = _seconds(lambda: _read_bare(statements))
    cold = _seconds(lambda: (forget_books(), book(ON)))
    warm = _seconds(lambda: book(ON))
    client = _signed_in(owner)
    book(date.today())
    sheet = f"/pricing/lines/{Line.objects.get().pk}/cost-sheet/?on={ON}"
    lot = Lot.objects.first().pk
    pages = ["/password/", sheet, f"/costs/of/lot/{lot}/?on={ON}", f"/growing/lots/{lot}/"]
    milliseconds = [_seconds(lambda path=path: client.get(path), times=5) * 1000 for path in pages]  # type: ignore[misc]
    memory = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    shown = [f"{one:.1f}" for one in milliseconds]
    return (f"{bare:.3f}", f"{cold:.3f}", f"{cold / bare:.1f}", f"{warm:.4f}", *shown, f"{memory:.0f}")


def _statements(work: Callable[[], Any]) -> list[tuple[str, Any]]:
    """The statements a piece of work sends."""
    from django.db import connection

    sent: list[tuple[str, Any]] = []

    def note(execute: Any, sql: str, params: Any, many: bool, context: Any) -> Any:
        sent.append((sql, params))
        return execute(sql, params, many, context)

    with connection.execute_wrapper(note):
        work()
    return sent


def _read_bare(statements: list[tuple[str, Any]]) -> None:
    from django.db import connection

    with connection.cursor() as cursor:
        for sql, params in statements:
            cursor.execute(sql, params)
            with suppress(Exception):
                cursor.fetchall()


def _signed_in(owner: Any) -> Any:
    from django.test import Client

    client = Client()
    client.force_login(owner, backend="django.contrib.auth.backends.ModelBackend")
    return client


def _seconds(work: Callable[[], Any], times: int = 3) -> float:
    """The median of so many runs."""
    taken = []
    for _ in range(times):
        began = time.perf_counter()
        work()
        taken.append(time.perf_counter() - began)
    return sorted(taken)[len(taken) // 2]


if __name__ == "__main__":
    if sys.argv[1:2] == ["--one"]:
        one(int(sys.argv[2]))
    else:
        main([int(size) for size in sys.argv[1:]] or [1_000, 10_000, 100_000, 1_000_000])
