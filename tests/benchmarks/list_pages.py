"""List pages over a growing journal, beside a bare template with the same rows.

    python -m tests.benchmarks.list_pages 10000 100000 1000000

Rows are written straight into the tables: a first ten thousand movements with
their batches, sales and contents, then the same again under other keys. Bare:
the page's own statement for its rows sent again and its answer put in a plain
template, beside a page of the site with nothing in it. Aims: a page within 3 times the two together; at a hundredfold journal
within 1.5 times its own time at the smallest.
"""

from __future__ import annotations

import sys
from collections.abc import Callable
from datetime import date, timedelta
from typing import Any

from tests.benchmarks.apart import measured_apart, migrated, new_owner, print_row
from tests.benchmarks.cost_book import _signed_in, _statements
from tests.benchmarks.papers import quickest

FIRST = date(2025, 1, 1)
LINES, BOXES, BATCHES, EACH, LEFT = 50, 300, 1_000, 10, 300
ROWS, APART = BATCHES * EACH, 1_000_000
HEADS = ("page", "movements", "statements", "page ms", "bare ms", "empty ms", "page/both", "within 3", "as small", "within 1.5")
PAGES = {"stock book": "/stock/book/", "sales": "/sales/", "boxes": "/stock/boxes/", "lines": "/stock/lines/"}
BARE = "<table>{% for row in rows %}<tr>{% for cell in row %}<td>{{ cell }}</td>{% endfor %}</tr>{% endfor %}</table>"


def one(sizes: list[int]) -> None:
    """Grow one journal from size to size and print a row a page."""
    vendor = migrated()
    owner = new_owner()
    write_first(owner)
    print(f"{vendor}; aims: within 3 times bare; a hundredfold journal within 1.5 times the smallest")
    print_row(HEADS, 11)
    client, smallest, grown = _signed_in(owner), {}, 1
    for size in sizes:
        grown = grow(grown, max(1, size // ROWS))
        for name, address in PAGES.items():
            statements, page, bare, empty = measure(client, address)
            first, ratio = smallest.setdefault(name, page), page / (bare + empty)
            aims = ("yes" if ratio <= 3 else "NO", f"{page / first:.2f}", "yes" if page <= 1.5 * first else "NO")
            times = (*(f"{seconds * 1000:.1f}" for seconds in (page, bare, empty)), f"{ratio:.1f}")
            print_row((name, str(grown * ROWS), str(statements), *times, *aims), 11)


def measure(client: Any, address: str) -> tuple[int, float, float, float]:
    """A page's statements, its time, that of its rows in a bare template, and an empty page's, in seconds."""
    client.get(address)
    statements = _statements(lambda: client.get(address))
    rows = next((sql, params) for sql, params in statements if "LIMIT 25" in sql)
    page, bare, empty = quickest(lambda: client.get(address), bare_page(*rows), lambda: client.get("/password/"), times=9)
    return len(statements), page, bare, empty


def bare_page(sql: str, params: Any) -> Callable[[], str]:
    """The same rows in a plain table."""
    from django.db import connection
    from django.template import Context, engines

    template = engines["django"].engine.from_string(BARE)

    def render() -> str:
        with connection.cursor() as cursor:
            cursor.execute(sql, params)
            return str(template.render(Context({"rows": cursor.fetchall()})))

    return render


def write_first(by: Any) -> None:
    """The first movements: every batch made in a box and sold one by one, each time in a sale of its own."""
    from django.db import transaction
    from django.utils import timezone

    from ledger.growing.models import Species, Variety
    from ledger.stock.models import Balance, Batch, Box, Content, Line, Movement

    common = {"recorded_at": timezone.now(), "recorded_by": by}
    with transaction.atomic():
        species = Species.objects.create(name="Bench stem")
        varieties = Variety.objects.bulk_create(Variety(species=species, name=f"Bench {at}") for at in range(LINES))
        lines = Line.objects.bulk_create(Line(variety=one, unit="bunch", stems=10) for one in varieties)
        boxes = Box.objects.bulk_create(Box(code=f"B{at:04}", serial=at + 1, shelf=f"A{at % 20}") for at in range(BOXES))
        runs = _runs(common)
        batches = Batch.objects.bulk_create(
            Batch(run=runs[at // LINES], line=lines[at % LINES], on=_day(at), made=EACH, stems=EACH * 10, **common)
            for at in range(BATCHES)
        )
        Movement.objects.bulk_create(
            Movement(
                batch=batch, box=boxes[at % BOXES], on=_day(at) + timedelta(step), kind="sold" if step else "made",
                bunches=-1 if step else EACH, **common,
            )
            for at, batch in enumerate(batches) for step in range(EACH)
        )
        Content.objects.bulk_create(
            Content(batch=batch, box=boxes[at % BOXES], bunches=int(at < LEFT)) for at, batch in enumerate(batches)
        )
        Balance.objects.bulk_create(Balance(line=line, on_hand=LEFT // LINES) for line in lines)
        _sales(common)


def _day(at: int) -> date:
    return FIRST + timedelta(at % 300)


def _runs(common: dict[str, Any]) -> list[Any]:
    from ledger.facts.models import CostObject
    from ledger.stock.models import Run

    keys = CostObject.objects.bulk_create(CostObject(kind="run", label="Bench run") for _ in range(BATCHES // LINES))
    return Run.objects.bulk_create(Run(cost_object=key, on=FIRST, **common) for key in keys)


def _sales(common: dict[str, Any]) -> None:
    """A sale for every batch, of one bunch."""
    from ledger.facts.models import CostObject
    from ledger.pricing.models import Way
    from ledger.sales.models import Sale, SaleLine
    from ledger.stock.models import Line

    way, line = Way.objects.create(name="Bench stall"), Line.objects.first()
    keys = CostObject.objects.bulk_create(CostObject(kind="sale", label="Bench sale") for _ in range(BATCHES))
    sales = Sale.objects.bulk_create(Sale(cost_object=key, on=_day(at), way=way, **common) for at, key in enumerate(keys))
    SaleLine.objects.bulk_create(SaleLine(sale=sale, line=line, quantity=1, price=500) for sale in sales)


def grow(grown: int, times: int) -> int:
    """Write the first movements and sales again until there are so many times as many; say how many times there are."""
    from django.db import connection

    from ledger.facts.models import CostObject
    from ledger.sales.models import Sale, SaleLine
    from ledger.stock.models import Movement

    shifted = {CostObject: ("id",), Sale: ("cost_object_id",), SaleLine: ("id", "sale_id"), Movement: ("id",)}
    for step in range(grown, times):
        for model, columns in shifted.items():
            _again(model, columns, step * APART)
    with connection.cursor() as cursor:
        cursor.execute("ANALYZE")
    return max(grown, times)


def _again(model: Any, shifted: tuple[str, ...], by: int) -> None:
    """Every first row of a table once more, its keys so much higher."""
    from django.db import connection

    columns = [field.column for field in model._meta.local_concrete_fields]
    said = ", ".join(f'"{column}"' for column in columns)
    chosen = ", ".join(f'"{column}" + {by}' if column in shifted else f'"{column}"' for column in columns)
    table, key = model._meta.db_table, model._meta.pk.column
    only = " AND kind = 'sale'" if model._meta.model_name == "costobject" else ""
    with connection.cursor() as cursor:
        cursor.execute(f'INSERT INTO "{table}" ({said}) SELECT {chosen} FROM "{table}" WHERE "{key}" < {APART}{only}')


if __name__ == "__main__":
    if sys.argv[1:2] == ["--one"]:
        one([int(size) for size in sys.argv[2:]])
    else:
        measured_apart("tests.benchmarks.list_pages", *(sys.argv[1:] or ["10000", "100000", "1000000"]))
