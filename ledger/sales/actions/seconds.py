"""Damaged bunches sold as seconds: put down and sold in one step."""

from __future__ import annotations

from datetime import date
from typing import Any

from django.utils.translation import gettext_lazy as _

from ledger.facts.models import User
from ledger.facts.writing import action, keep, refusal
from ledger.pricing.models import Way
from ledger.sales.models import Customer, Sale, StallDay
from ledger.sales.queries.loading import boxes_away, boxes_of
from ledger.stock.actions import Output, add_line, lock_lines, pick_bunches, rework
from ledger.stock.models import Line, Run

from .charging import Sold
from .late import find_again, was_missing
from .retail import check_sold, open_sale, write_lines


@action("selling")
def sell_as_seconds(
    *, by: User, on: date, way: Way, line: Line, bunches: int, price: int | None = None, stall_day: StallDay | None = None,
    customer: Customer | None = None, note: str = "", paid: str = "cash", beyond_record: bool = False,
) -> Sale:
    """Put bunches of a line down to seconds and sell them; undoing the sale undoes both.

    The seconds are of the same variety, colour, finish and size; their line is added where there is none.
    `beyond_record`: it happened, whatever the record says is there; promised bunches go too.
    `price` of one as the way keeps it, minor units; None: the list's for the seconds.
    """
    if line.grade != Line.Grade.FIRSTS:
        raise refusal("line", _("%(line)s are no firsts. Sell them as they are."), code="no_firsts", line=line)
    seconds = _seconds_of(by, line)
    sold = Sold(bunches, line=seconds, price=price, why=str(_("damaged")))
    check_sold([sold], on, stall_day, customer)
    lock_lines([line, seconds])
    kept: dict[str, Any] = {"on": on, "way": way, "stall_day": stall_day, "customer": customer, "note": note, "paid": paid}
    sale = open_sale(by=by, **kept)
    sale.rework = _put_down(by, sale, line, seconds, bunches, beyond_record)
    keep(sale)
    made = Sold(bunches, line=seconds, price=price, why=sold.why, batch=sale.rework.batches.get())
    write_lines(by, sale, [made], beyond_record)
    return sale


def _seconds_of(by: User, line: Line) -> Line:
    """The line of its seconds, added where there is none yet."""
    said = {"variety": line.variety, "name": line.name, "colour": line.colour, "finish": line.finish, "unit": line.unit}
    sizes = {"stems": line.stems, "grams": line.grams}
    wanted = Line(**said, **sizes, grade=Line.Grade.SECONDS)
    there = Line.objects.alike(wanted).order_by("pk").first()
    return there or add_line(by=by, grade=Line.Grade.SECONDS, **said, **sizes)


def _put_down(by: User, sale: Sale, line: Line, seconds: Line, bunches: int, beyond_record: bool) -> Run:
    """Put them down: first those that were missing when the stall day was put away, then as a sale takes them."""
    missing = was_missing(sale.stall_day, line, bunches)
    left = bunches - sum(number for _shortage, number in missing)
    at_hand, away = boxes_of(sale.stall_day), boxes_away(sale.on, besides=sale.stall_day)
    picked = pick_bunches(line, sale.on, left, at_hand=at_hand, away=away, beyond_record=beyond_record) if left else []
    for shortage, number in missing:
        find_again(by, sale, shortage, number)
    given = [*((shortage.batch, shortage.box, number) for shortage, number in missing), *picked]
    boxes = {box for _batch, box, _number in given}
    output = Output(seconds, bunches, box=boxes.pop() if len(boxes) == 1 else None)
    note = str(_("damaged, sold as seconds"))
    return rework(by=by, on=sale.on, bunches=given, outputs=[output], note=note, beyond_record=beyond_record)
