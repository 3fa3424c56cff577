"""Things that go into made-up goods, made by their stages' own verbs."""

from datetime import date

import factory

from ledger.daybook import actions as daybook
from ledger.daybook.models import Material
from ledger.drying import actions as drying
from ledger.drying.models import Oddments
from ledger.growing import actions as growing
from ledger.growing.models import Parting
from ledger.stock.models import Line

from .drying import ByOwner, HangingFactory, LotFactory, owner
from .stock import LineFactory


class MaterialFactory(ByOwner):
    class Meta:
        model = Material

    name = factory.Sequence(lambda n: f"Wire ring {n}")
    unit = "pieces"
    _act = staticmethod(daybook.add_material)


def wreath(name: str = "Wreath") -> Line:
    """A line of pieces with a name and no variety."""
    return LineFactory(variety=None, name=name, unit="piece", stems=None)


def cut_dry(stems: int, *, on: date = date(2024, 7, 1)) -> Parting:
    """Stems that left their lot dry."""
    return growing.part(by=owner(), lot=LotFactory(stems=stems, on=on), on=on, way=Parting.Way.CUT_DRY, stems=stems)


def oddments(stems: int, *, value: int = 0, on: date = date(2024, 7, 20)) -> Oddments:
    """Stems kept of those a hanging of twice as many lost."""
    hanging = HangingFactory(stems=2 * stems)
    drying.take_down(by=owner(), hanging=hanging, on=on, stems=2 * stems, losses={"faded": stems})
    return drying.keep_oddments(by=owner(), hanging=hanging, on=on, stems=stems, value=value)
