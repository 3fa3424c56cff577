"""Damaged bunches sold as seconds: put down and sold in one step."""

from __future__ import annotations

from datetime import date
from typing import Any

from django.utils.translation import gettext_lazy as _

from ledger.facts.models import User
from ledger.facts.writing import action, refusal
from ledger.pricing.models import Way
from ledger.sales.models import Customer, Sale, StallDay
from ledger.sales.queries.loading import boxes_away, boxes_of
from ledger.stock.actions import Output, add_line, lock_lines, pick_bunches, rework
from ledger.stock.models import Line, Run

from .charging import Sold
from .retail import check_sold, open_sale, write_lines


@action("selling")
def sell_as_seconds(
    *, by: User, on: date, way: Way, line: Line, bunches: int, price: int | None = None, stall_day: StallDay | None = None,
    customer: Customer | None = None, note: str = "", paid: str = "cash",
) -> Sale:
    """Put bunches of a line down to seconds and sell them; undoing the sale undoes both.

    The seconds are of the same variety, colour, finish and size; their line is added where there is none.
    `price` of one as the way keeps it, minor units; None: the list's for the seconds.
    """
    if line.grade != Line.Grade.FIRSTS:
        raise refusal("line", _("%(line)s are no firsts. Sell them as they are."), code="no_firsts", line=line)
    seconds = _seconds_of(by, line)
    sold = Sold(bunches, line=seconds, price=price, why=str(_("damaged")))
    check_sold([sold], on, stall_day, customer)
    lock_lines([line, seconds])
    run = _put_down(by, on, line, seconds, bunches, stall_day)
    kept: dict[str, Any] = {"on": on, "way": way, "stall_day": stall_day, "customer": customer, "note": note, "paid": paid}
    sale = open_sale(by=by, rework=run, **kept)
    made = Sold(bunches, line=seconds, price=price, why=sold.why, batch=run.batches.get())
    write_lines(by, sale, [made], False)
    return sale


def _seconds_of(by: User, line: Line) -> Line:
    """The line of its seconds, added where there is none yet."""
    said = {"variety": line.variety, "name": line.name, "colour": line.colour, "finish": line.finish, "unit": line.unit}
    sizes = {"stems": line.stems, "grams": line.grams}
    wanted = Line(**said, **sizes, grade=Line.Grade.SECONDS)
    there = Line.objects.alike(wanted).order_by("pk").first()
    return there or add_line(by=by, grade=Line.Grade.SECONDS, **said, **sizes)


def _put_down(by: User, on: date, line: Line, seconds: Line, bunches: int, stall_day: StallDay | None) -> Run:
    picked = pick_bunches(
        line, on, bunches, at_hand=boxes_of(stall_day), away=boxes_away(on, besides=stall_day)
    )
    boxes = {place.box for place, _number in picked}
    output = Output(seconds, bunches, box=boxes.pop() if len(boxes) == 1 else None)
    given = [(place.batch, place.box, number) for place, number in picked]
    return rework(by=by, on=on, bunches=given, outputs=[output], note=str(_("damaged, sold as seconds")))
