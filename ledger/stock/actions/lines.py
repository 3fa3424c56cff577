"""Bunch lines."""

from __future__ import annotations

from ledger.facts.models import User
from ledger.facts.writing import action, keep
from ledger.growing.models import Variety
from ledger.stock.models import Balance, Line


@action("boxes")
def add_line(
    *, by: User, variety: Variety, colour: str = "", grade: str = Line.Grade.FIRSTS,
    finish: str = Line.Finish.NATURAL, unit: str = Line.Unit.BUNCH, stems: int | None = None, grams: int | None = None,
) -> Line:
    """Add what is sold: a bunch of so many stems, a weight, or a piece; its balance begins at nil."""
    line = keep(
        Line(variety=variety, colour=colour, grade=grade, finish=finish, unit=unit, stems=stems, grams=grams)
    )
    keep(Balance(line=line))
    return line
