"""What the processes of a pressed ledger do.

    python -m tests.pressure.work set_up
    python -m tests.pressure.work press THREADS SECONDS SEED
    python -m tests.pressure.work write
    python -m tests.pressure.work tally

The last line printed is what came of it, as JSON; `write` prints the key of every order as soon as it is confirmed.
"""

from __future__ import annotations

import json
import random
import sys
import threading
import time
import traceback
from collections import Counter
from collections.abc import Sequence
from datetime import date
from typing import Any

MADE, TODAY = date(2024, 8, 1), date(2024, 9, 1)
COLOURS, BOXES, EACH = ("copper", "rust"), 3, 60


def set_up(colours: Sequence[str] = COLOURS, each: int = EACH) -> dict[str, Any]:
    """A holding, lines by colour, three boxes with so many bunches of each line, a stall, a trade way and a customer."""
    from django.core.management import call_command

    from ledger.facts import actions as facts
    from ledger.pricing import actions as pricing
    from ledger.sales import actions as sales

    call_command("migrate", verbosity=0)
    owner = facts.set_up(
        name="Pressed", currency="GBP", time_zone="UTC", year_end_month=12, year_end_day=31, season_first_month=1,
        status="none", on=date(2020, 1, 1), username="owner", password="teasel-and-honesty",
    )
    lines, boxes = _bunches(owner, colours, each)
    way = pricing.add_way(by=owner, name="Florists", with_tax=False, trade=True)
    stall = pricing.add_way(by=owner, name="Stall")
    customer = sales.add_customer(by=owner, name="Corner flowers")
    return {"lines": lines, "boxes": boxes, "way": way.pk, "stall": stall.pk, "customer": customer.pk, "cookie": _cookie(owner)}


def _bunches(owner: Any, colours: Sequence[str], each: int) -> tuple[list[int], list[int]]:
    """Enough stems hung and down for what is made, a batch of each line in each box."""
    from ledger.drying import actions as drying
    from ledger.growing import actions as growing
    from ledger.stock import actions as stock
    from tests.thread import plant

    planting = plant(owner)
    stems = len(colours) * BOXES * each * 10
    lot = growing.cut(by=owner, planting=planting, on=date(2024, 7, 1), stage="full", stems=stems)
    place = drying.add_place(by=owner, name="Loft", unit="hooks", room=50)
    hanging = drying.hang(by=owner, lot=lot, on=date(2024, 7, 1), place=place, stems=stems)
    drying.take_down(by=owner, hanging=hanging, on=date(2024, 7, 20), stems=stems)
    lines = [
        stock.add_line(by=owner, variety=planting.variety, colour=colour, unit="bunch", stems=10) for colour in colours
    ]
    boxes = [stock.new_box(by=owner, shelf=f"A{at}") for at in range(BOXES)]
    for box in boxes:
        outputs = [stock.Output(line=line, made=each, box=box) for line in lines]
        stock.make_run(by=owner, on=MADE, inputs=[(hanging, len(lines) * each * 10)], outputs=outputs)
    return [line.pk for line in lines], [box.pk for box in boxes]


def _cookie(owner: Any) -> str:
    """A browser already signed in."""
    from django.test import Client

    client = Client()
    client.force_login(owner, backend="django.contrib.auth.backends.ModelBackend")
    return client.cookies["sessionid"].value


class Seller(threading.Thread):
    """One who promises, sells, moves, counts, gives back and draws as fast as they can."""

    def __init__(self, seed: int, until: float) -> None:
        super().__init__()
        self.chance, self.until = random.Random(seed), until
        self.done: Counter[str] = Counter()
        self.refused: Counter[str] = Counter()
        self.errors: list[str] = []

    def run(self) -> None:
        from django.core.exceptions import ValidationError
        from django.db import connection

        from ledger.facts.models import User

        self.owner = User.objects.get(username="owner")
        while time.monotonic() < self.until:
            verb = self.chance.choice((self.promise, self.sell, self.sell, self.move, self.count, self.give_back, self.draw))
            try:
                self.done[verb.__name__] += bool(verb())
            except ValidationError as error:
                self.refused.update(one.code for ones in error.error_dict.values() for one in ones)
            except Exception:
                self.errors.append(traceback.format_exc())
        connection.close()

    def few(self) -> int:
        return self.chance.randint(1, 3)

    def line(self) -> Any:
        from ledger.stock.models import Line

        return self.chance.choice(list(Line.objects.order_by("pk")))

    def content(self) -> Any:
        from ledger.stock.models import Content

        return self.chance.choice(list(Content.objects.there().out_of_parcels()) or [None])

    def promise(self) -> Any:
        from ledger.pricing.models import Way
        from ledger.sales import actions as sales
        from ledger.sales.models import Customer

        asked = [sales.Asked(self.line(), self.few(), price=400)]
        way, customer = Way.objects.on_order().get(), Customer.objects.get()
        return sales.take_order(by=self.owner, on=TODAY, customer=customer, way=way, lines=asked)

    def sell(self) -> Any:
        from ledger.pricing.models import Way
        from ledger.sales import actions as sales

        sold, way = sales.Sold(self.few(), line=self.line(), price=500), Way.objects.retail().get()
        beyond = self.chance.random() < 0.1
        return sales.sell(by=self.owner, on=TODAY, way=way, lines=[sold], beyond_record=beyond)

    def move(self) -> Any:
        from ledger.stock import actions as stock
        from ledger.stock.models import Box

        at = self.content()
        target = self.chance.choice(list(Box.objects.filter(parcel=False)))
        return at and stock.move(by=self.owner, on=TODAY, batch=at.batch, bunches=self.few(), source=at.box, target=target)

    def count(self) -> Any:
        from ledger.stock import actions as stock

        at = self.content()
        if at is None or at.box is None:
            return None
        counted = max(0, at.bunches + self.chance.choice((0, 0, 1, -1)))
        return stock.count_box(by=self.owner, on=TODAY, box=at.box, counted={at.batch: counted})

    def give_back(self) -> Any:
        from ledger.sales import actions as sales
        from ledger.sales.models import OrderLine

        line = OrderLine.objects.filter(order__undone_at=None).order_by("?").first()
        return line and sales.cancel(by=self.owner, order_line=line, on=TODAY, bunches=1)

    def draw(self) -> Any:
        from ledger.stock import actions as stock

        at = self.content()
        return at and stock.draw(by=self.owner, on=TODAY, batch=at.batch, box=at.box, bunches=1, reason="sample")


def press(threads: int, seconds: float, seed: int) -> dict[str, Any]:
    """So many sellers at once for so long."""
    until = time.monotonic() + seconds
    sellers = [Seller(seed * 1000 + at, until) for at in range(threads)]
    for seller in sellers:
        seller.start()
    for seller in sellers:
        seller.join()
    done, refused = (sum((getattr(one, name) for one in sellers), Counter()) for name in ("done", "refused"))
    return {"done": done, "refused": refused, "errors": [error for one in sellers for error in one.errors]}


def write() -> None:
    """Take orders of both lines until killed, telling each as soon as it is confirmed."""
    from ledger.facts.models import User
    from ledger.pricing.models import Way
    from ledger.sales import actions as sales
    from ledger.sales.models import Customer
    from ledger.stock.models import Line

    given = {"by": User.objects.get(username="owner"), "customer": Customer.objects.get(), "way": Way.objects.on_order().get()}
    asked = [sales.Asked(line, 2, promised=0, price=400) for line in Line.objects.order_by("pk")]
    while True:
        print(sales.take_order(on=TODAY, lines=asked, **given).pk, flush=True)


def tally() -> dict[str, Any]:
    """What the ledger holds now."""
    from django.db.models import Count, F, Max, Min

    from ledger.sales.models import Order, Sale
    from ledger.stock.models import Balance, Content

    beyond = Balance.objects.annotate(beyond=F("held") - F("on_hand"))
    return {
        "orders": Order.objects.standing().count(), "sales": Sale.objects.standing().count(),
        "order_keys": list(Order.objects.values_list("pk", flat=True)),
        "lines_an_order": list(Order.objects.annotate(n=Count("lines")).values_list("n", flat=True)),
        "lowest": Content.objects.aggregate(n=Min("bunches"))["n"], "most_held_beyond": beyond.aggregate(n=Max("beyond"))["n"],
    }


def main(asked: list[str]) -> None:
    """Do what was asked."""
    import django

    django.setup()
    if asked[0] == "write":
        write()
    if asked[0] == "press":
        result = press(int(asked[1]), float(asked[2]), int(asked[3]))
    else:
        result = {"set_up": set_up, "tally": tally}[asked[0]]()
    print(json.dumps(result))


if __name__ == "__main__":
    main(sys.argv[1:])
