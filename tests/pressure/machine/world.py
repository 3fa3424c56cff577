"""What there is before the first step, and what the days and numbers of the steps are drawn from."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import date, timedelta
from random import Random
from typing import Any

from ledger.drying import actions as drying
from ledger.drying.models import Hanging
from ledger.facts.actions import set_tax_rate, set_tax_status
from ledger.facts.models import User
from ledger.pricing.models import Way
from ledger.sales.models import Customer
from ledger.stock.models import Box, Line
from tests.factories.drying import LotFactory, PlaceFactory
from tests.factories.pricing import StallFactory, TradeFactory
from tests.factories.sales import CustomerFactory
from tests.factories.stock import BoxFactory, LineFactory

FIRST_DAY = date(2024, 9, 1)
LAST_DAY = 6
PRICE, RATE_BP = 307, 700
Draw = Callable[[Random], Any]


def among(*values: Any) -> Draw:
    return lambda chance: chance.choice(values)


def between(least: int, most: int) -> Draw:
    return lambda chance: chance.randint(least, most)


def one_or_two(draw: Draw) -> Draw:
    return lambda chance: [draw(chance) for _ in range(chance.randint(1, 2))]


def pair(*draws: Draw) -> Draw:
    return lambda chance: tuple(draw(chance) for draw in draws)


DAYS, BEGUN = among(LAST_DAY, LAST_DAY, LAST_DAY, 5, 4, 3, 2, 1, 0), among(0, 1, 1, 2, 3)
LATE = among(LAST_DAY, LAST_DAY, LAST_DAY, 5, 4)
MADE, ORDERED = among(0, 0, 1, 3, LAST_DAY), among(1, 1, 2, 4, LAST_DAY)
FEW, ONE_OR_TWO, WHICH, LINE = between(1, 6), between(1, 2), between(0, 11), between(0, 1)
YES_OR_NO = among(False, True)


@dataclass
class World:
    """Every example begins here; `worked` and `refused` count over all of them."""

    by: User
    hanging: Hanging
    lines: list[Line]
    boxes: list[Box]
    stall: Way
    trade: Way
    customer: Customer
    worked: Counter[str] = field(default_factory=Counter)
    refused: Counter[str] = field(default_factory=Counter)


def lay_out(by: User) -> World:
    """Plenty of stems down, two lines, three boxes with nothing in them, and a rate of tax."""
    lot = LotFactory(on=date(2024, 7, 1), stems=40_000)
    hanging = drying.hang(by=by, lot=lot, on=lot.on, place=PlaceFactory(), stems=40_000, room=5)
    drying.take_down(by=by, hanging=hanging, on=date(2024, 7, 20), stems=40_000)
    set_tax_status(by=by, on=date(2024, 7, 1), status="registered", number="123")
    set_tax_rate(by=by, on=date(2024, 7, 1), rate_bp=RATE_BP)
    lines = [LineFactory(variety=lot.planting.variety, stems=5, grade=grade) for grade in ("firsts", "seconds")]
    boxes = [BoxFactory(shelf=shelf_of(at)) for at in (1, 2, 3)]
    return World(by, hanging, lines, boxes, StallFactory(), TradeFactory(), CustomerFactory())


def shelf_of(box: int) -> str:
    """The shelf of a box of the account, in the order of their keys."""
    return f"A{box:05}"


def day(number: int) -> date:
    return FIRST_DAY + timedelta(number)
