"""One small season as a few numbers, so that the same can be grown again with one of them changed."""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from ledger.costing import actions as costing
from ledger.daybook import actions as daybook
from ledger.drying import actions as drying
from ledger.facts.models import User
from ledger.growing import actions as growing
from ledger.stock import actions as stock
from ledger.stock.models import Line
from tests.factories.daybook import PurchaseFactory, YearOfSpaceFactory, bought

SOWN, CUT, HUNG, DOWN, BUNCHED, CLEARED = (date(2024, *day) for day in ((4, 1), (7, 1), (7, 2), (7, 20), (7, 25), (10, 1)))
NEW_YEAR, BILLED = date(2024, 1, 1), date(2024, 2, 1)


@dataclass(frozen=True)
class Season:
    """An hour's pay and the plot's year in minor units; stems cut and hung, the per cent lost, and how many to the bunch."""

    hour: int = 1200
    ground: int = 60_000
    stems: int = 400
    lost: int = 10
    to_the_bunch: int = 10

    @property
    def sound(self) -> int:
        return self.stems * (100 - self.lost) // 100


class Grower:
    """One paid and one unpaid pair of hands at the same rate, and what they spend on."""

    def __init__(self, by: User, hour: int, name: str) -> None:
        self.by, self.name = by, name
        self.paid, self.own = (daybook.add_worker(by=by, name=f"{name} {paid}", paid=paid) for paid in (True, False))
        for worker in (self.paid, self.own):
            daybook.set_worker_rate(by=by, worker=worker, on=NEW_YEAR, per_hour=hour)

    def work(self, record, minutes: int, on: date, task: str, *, own: bool = False) -> None:
        worker = self.own if own else self.paid
        daybook.note_work(by=self.by, worker=worker, on=on, minutes=minutes, task=task, spent_on=[(record.cost_object, 1)])

    def bill(self, record, net: int, kind: str, on: date) -> None:
        PurchaseFactory(on=on, lines=[bought(kind=kind, net=net, tax=0, spent_on=[(record.cost_object, 1)])])

    def space(self, record, cost: int, usual: int, kind: str) -> None:
        YearOfSpaceFactory(space=record.cost_object, expected_cost=cost, normal_unit_days=usual)
        self.bill(record, cost, kind, BILLED)


def grow(by: User, of: Season, name: str) -> Line:
    """Bed to bunch on a plot and in a loft of its own."""
    hands = Grower(by, of.hour, name)
    planting = _sown(hands, of)
    lot = growing.cut(by=by, planting=planting, on=CUT, stage="full", stems=of.stems)
    hands.work(lot, of.stems * 3 // 20, CUT, "cutting")
    hanging = _hung(hands, of, lot)
    growing.clear(by=by, planting=planting, on=CLEARED)
    return _bunched(hands, of, planting.variety, hanging)


def _sown(hands: Grower, of: Season):
    """20 m2 of a plot usually 15,300 m2-days a year: 50.00 of seed, two hours paid and one unpaid."""
    by = hands.by
    plot = growing.add_plot(by=by, name=f"{hands.name} plot", kind="open", area_m2=Decimal(100))
    bed = growing.add_bed(by=by, plot=plot, name="1", area_m2=Decimal(20))
    hands.space(plot, of.ground, 15_300, "space")
    species = growing.add_species(by=by, name=hands.name)
    variety = growing.add_variety(by=by, species=species, name="Blue", colour="blue")
    planting = growing.plant(
        by=by, on=SOWN, variety=variety, bed=bed, area_m2=Decimal(20), season=2024, expected_stems=of.stems
    )
    hands.bill(planting, 5000, "plants", SOWN)
    hands.work(planting, 120, SOWN, "growing")
    hands.work(planting, 60, SOWN, "growing", own=True)
    return planting


def _hung(hands: Grower, of: Season, lot):
    """A hook for four stems, three minutes for forty; what is lost goes to mould."""
    place = drying.add_place(by=hands.by, name=f"{hands.name} loft", unit="hooks", room=400)
    hands.space(place, 40_000, 36_000, "power")
    hanging = drying.hang(by=hands.by, lot=lot, on=HUNG, place=place, stems=of.stems, room=of.stems // 4)
    hands.work(hanging, of.stems * 3 // 40, HUNG, "hanging", own=True)
    losses = {"mould": of.stems - of.sound} if of.lost else {}
    drying.take_down(by=hands.by, hanging=hanging, on=DOWN, stems=of.stems, losses=losses)
    return hanging


def _bunched(hands: Grower, of: Season, variety, hanging) -> Line:
    """All that is sound bunched: three minutes' work and 0.12 of bands to the bunch."""
    made = of.sound // of.to_the_bunch
    line = stock.add_line(by=hands.by, variety=variety, stems=of.to_the_bunch)
    output = stock.Output(line=line, made=made)
    run = stock.make_run(by=hands.by, on=BUNCHED, inputs=[(hanging, of.sound)], outputs=[output])
    hands.work(run, made * 3, BUNCHED, "bunching")
    hands.bill(run, made * 12, "packing", BUNCHED)
    return line


def plan(by: User) -> None:
    """The year's overheads, a quarter on top of what a bunch costs to the box."""
    costing.plan_overheads(
        by=by, on=NEW_YEAR, year=2024, overheads=100_000, storage=20_000, usual_idle_and_luck=5_000, usual_base=500_000
    )
