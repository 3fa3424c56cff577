"""Promising one line on one thread and on 32, beside the bare engine sending the same statements.

    python -m tests.benchmarks.promising [SECONDS]
    DATABASE_URL=postgres://... python -m tests.benchmarks.promising [SECONDS]

The ledger lies on a file of its own, or in a scratch database on the server.
What an order of one line and what a later promise send is recorded twice, so
that the keys they give out are known, and sent again through the driver alone.
Savepoints, one around every row kept so that a refusal can be put in words, are
counted apart. Aims: at most 15 statements a promise; on 32 threads no less than 80 % of one
thread's promises in all; no error.
"""

from __future__ import annotations

import re
import sys
import threading
import time
import traceback
from collections.abc import Callable
from contextlib import closing
from dataclasses import dataclass, field
from datetime import date
from typing import Any

from tests.benchmarks.apart import measured_apart, migrated, print_row

SAVEPOINT = re.compile(r'"s[0-9]+_x[0-9]+"')
TODAY, EACH, THREADS = date(2024, 9, 1), 4_000, 32
HEADS = ("promise", "statements", "savepoints", "one thread /s", "32 threads /s", "32/one", "bare one /s", "bare 32 /s", "errors")
COLOURS = ("copper", "rust", "straw", "slate", "bone", "plum", "sand", "moss")


@dataclass
class Sent:
    """A statement of a promise; for each parameter that is a key given out by an earlier one: which."""

    sql: str
    params: tuple[Any, ...]
    gives: bool
    keys: dict[int, int] = field(default_factory=dict)


def record(work: Callable[[], Any]) -> list[tuple[str, tuple[Any, ...], Any]]:
    """The statements a promise sends, their parameters, and the key each gave out."""
    from django.db import connection

    sent: list[tuple[str, tuple[Any, ...], Any]] = []

    def note(execute: Any, sql: str, params: Any, many: bool, context: Any) -> Any:
        result = execute(sql, params, many, context)
        key = None
        if " RETURNING " in sql:
            raw = context["cursor"].cursor
            rows = raw.fetchall()
            key = rows[0][0]
            context["cursor"].__dict__["fetchall"] = lambda: rows
            context["cursor"].__dict__["fetchone"] = lambda: rows[0]
        if not sql.startswith("BEGIN"):
            sent.append((sql, tuple(params or ()), key))
        return result

    with connection.execute_wrapper(note):
        work()
    return sent


def learn(work: Callable[[], Any]) -> list[Sent]:
    """What a promise sends, and where it names keys it gave out itself: what differs alike between two of them."""
    work()
    first, second = record(work), record(work)
    assert [SAVEPOINT.sub("", sql) for sql, _, _ in first] == [SAVEPOINT.sub("", sql) for sql, _, _ in second]
    learnt: list[Sent] = []
    for at, ((sql, params, key), (_, others, _)) in enumerate(zip(first, second, strict=True)):
        given = {(first[earlier][2], second[earlier][2]): earlier for earlier in range(at) if first[earlier][2] is not None}
        pairs = list(zip(params, others, strict=True))
        keys = {place: given[pair] for place, pair in enumerate(pairs) if pair[0] != pair[1] and pair in given}
        learnt.append(Sent(sql, params, key is not None, keys))
    return learnt


def send_bare(statements: list[Sent]) -> None:
    """One promise by the driver alone, in one transaction."""
    from django.db import connection, transaction

    given: dict[int, Any] = {}
    with transaction.atomic(), closing(connection.create_cursor()) as cursor:
        for at, one in enumerate(statements):
            params = [given[one.keys[place]] if place in one.keys else value for place, value in enumerate(one.params)]
            cursor.execute(one.sql, params)
            if cursor.description is not None:
                rows = cursor.fetchall()
                given[at] = rows[0][0] if one.gives else None


def rate(work: Callable[[], Any], threads: int, seconds: float) -> tuple[float, list[str]]:
    """How often a second so many threads do it in all, and what went wrong."""
    done, errors, until = [0] * threads, [], time.monotonic() + seconds

    def press(at: int) -> None:
        from django.db import connection

        try:
            while time.monotonic() < until:
                work()
                done[at] += 1
        except Exception:
            errors.append(traceback.format_exc())
        connection.close()

    pressing = [threading.Thread(target=press, args=(at,)) for at in range(threads)]
    began = time.monotonic()
    for one in pressing:
        one.start()
    for one in pressing:
        one.join()
    return sum(done) / (time.monotonic() - began), errors


def one(seconds: float) -> None:
    """Measure an order of one line, and a later promise, each on lines of its own."""
    vendor = migrated()
    from tests.pressure.work import set_up

    made = set_up(COLOURS, EACH)
    print(f"{vendor}; aims: statements <= 15, 32/one >= 0.80, errors 0", flush=True)
    print_row(HEADS)
    for name, kind, lines in (("order of one", order_of, made["lines"][:4]), ("one more", one_more, made["lines"][4:])):
        print_row((name, *measure(kind, lines, seconds)))


def measure(kind: Callable[[int], Callable[[], Any]], lines: list[int], seconds: float) -> tuple[str, ...]:
    """The figures of one kind of promise; every rate on a line nothing else was promised of."""
    works = [kind(line) for line in lines]
    learnt = [learn(work) for work in works]
    alone, errors = rate(works[0], 1, seconds)
    together, more = rate(works[1], THREADS, seconds)
    bare, wrong = rate(lambda: send_bare(learnt[2]), 1, seconds)
    bare_together, wrong_too = rate(lambda: send_bare(learnt[3]), THREADS, seconds)
    errors += more + wrong + wrong_too
    for error in errors[:1]:
        print(error, file=sys.stderr)
    rates = (f"{alone:.0f}", f"{together:.0f}", f"{together / alone:.2f}", f"{bare:.0f}", f"{bare_together:.0f}")
    savepoints = sum("SAVEPOINT" in one.sql for one in learnt[0])
    return (str(len(learnt[0]) - savepoints), str(savepoints), *rates, str(len(errors)))


def order_of(line: int) -> Callable[[], Any]:
    """Taking an order of one bunch of a line."""
    from ledger.facts.models import User
    from ledger.pricing.models import Way
    from ledger.sales import actions as sales
    from ledger.sales.models import Customer
    from ledger.stock.models import Line

    given = {"by": User.objects.get(username="owner"), "customer": Customer.objects.get(), "way": Way.objects.on_order().get()}
    asked = [sales.Asked(Line.objects.get(pk=line), 1, price=400)]
    return lambda: sales.take_order(on=TODAY, lines=asked, **given)


def one_more(line: int) -> Callable[[], Any]:
    """Promising one bunch more of a line asked for in an order taken before."""
    from ledger.facts.models import User
    from ledger.pricing.models import Way
    from ledger.sales import actions as sales
    from ledger.sales.models import Customer
    from ledger.stock.models import Line

    by = User.objects.get(username="owner")
    asked = [sales.Asked(Line.objects.get(pk=line), 100_000, promised=1, price=400)]
    order = sales.take_order(by=by, on=TODAY, customer=Customer.objects.get(), way=Way.objects.on_order().get(), lines=asked)
    wanted = order.lines.get()
    return lambda: sales.promise_more(by=by, on=TODAY, order_line=wanted, bunches=1)


if __name__ == "__main__":
    if sys.argv[1:2] == ["--one"]:
        one(float(sys.argv[2]))
    else:
        measured_apart("tests.benchmarks.promising", *(sys.argv[1:2] or ["5"]))
