"""A published case written as records: what was spent, hung, taken down and made, by the stages' own verbs."""

from datetime import date
from decimal import Decimal

from ledger.costing.queries import book
from ledger.drying import actions as drying
from ledger.reckoning.book import total
from ledger.reckoning.sharing import MILLION
from tests.factories.daybook import PurchaseFactory, bought
from tests.factories.drying import HangingFactory, TakingDownFactory, owner
from tests.factories.growing import LotFactory

CUT, DOWN, MADE, YEAR_END = date(2024, 7, 2), date(2024, 7, 20), date(2024, 8, 1), date(2024, 12, 31)


def cents(major):
    """A printed amount in whole cents."""
    return int(Decimal(major) * 100)


def spend(major, record, *, kind="inputs", on=CUT):
    """A bill of a printed amount, spent on one record."""
    return PurchaseFactory(on=on, lines=[bought(kind=kind, net=cents(major), tax=0, spent_on=[(record.cost_object, 1)])])


def hung(stems, cost=None, **given):
    """So many stems cut and hung, with a printed amount (None: nothing) spent on the hanging."""
    hanging = HangingFactory(lot=LotFactory(stems=stems), stems=stems, on=CUT, **given)
    if cost is not None:
        spend(cost, hanging)
    return hanging


def dried(hanging, *, sound, on=DOWN):
    """All of a hanging down, the rest of it lost to mould."""
    return TakingDownFactory(hanging=hanging, on=on, stems=hanging.stems, losses={"mould": hanging.stems - sound})


def written_off_beyond(hanging, norm_bp):
    """Mark a hanging's loss as no usual one, its norm a share of the stems hung."""
    return drying.mark_disaster(by=owner(), hanging=hanging, on=DOWN, why="published abnormal loss", norm_bp=norm_bp)


def whole_cents(amounts):
    """What amounts of the cost book come to; refused unless they are whole cents to the last millionth."""
    cost, rest = divmod(total(amounts), MILLION)
    assert rest == 0
    return cost


def costs_of(run, on=YEAR_END):
    """What each batch of a run cost, in order of line, in whole cents."""
    return [whole_cents(book(on).batch_cost(batch.pk)) for batch in run.batches.order_by("line_id")]


def resting_in(place, on=YEAR_END):
    """What rests in one place of the proof, in whole cents."""
    return whole_cents(book(on).places.get(place, {}))
