"""Bunch lines."""

from __future__ import annotations

from django.utils.translation import gettext_lazy as _

from ledger.facts.models import User
from ledger.facts.writing import action, keep, refusal
from ledger.growing.models import Variety
from ledger.stock.models import Balance, Line


@action("boxes")
def add_line(
    *, by: User, variety: Variety | None = None, name: str = "", colour: str = "", grade: str = Line.Grade.FIRSTS,
    finish: str = Line.Finish.NATURAL, unit: str = Line.Unit.BUNCH, stems: int | None = None, grams: int | None = None,
) -> Line:
    """Add what is sold: a bunch of so many stems, a weight, or a piece; its balance begins at nil.

    Made-up goods and mixed bunches have a name and may lack a variety.
    """
    if variety is None and not name.strip():
        raise refusal("variety", _("A line needs its variety, or a name of its own."), code="nameless")
    wanted = (unit == Line.Unit.BUNCH, unit == Line.Unit.WEIGHT)
    if (stems is not None, grams is not None) != wanted:
        raise refusal(
            "unit", _("A bunch needs its stems, a weight its grams, a piece neither."), code="size_unfit"
        )
    line = Line(
        variety=variety, name=name.strip(), colour=colour, grade=grade, finish=finish, unit=unit, stems=stems, grams=grams
    )
    if Line.objects.alike(line).exists():
        raise refusal(None, _("That line is already there."), code="already_there")
    keep(line)
    keep(Balance(line=line))
    return line
