"""One small season from bed to box, by the stages' own actions, with every number shown."""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from ledger.daybook import actions as daybook
from ledger.daybook.models import Worker
from ledger.drying import actions as drying
from ledger.drying.models import Hanging
from ledger.facts.models import CostKind, User
from ledger.growing import actions as growing
from ledger.growing.models import Lot, Planting
from ledger.stock import actions as stock
from ledger.stock.models import Batch, Box, Line

PLANTED, CUT, HUNG, DOWN, BUNCHED = date(2024, 4, 1), date(2024, 7, 1), date(2024, 7, 2), date(2024, 7, 20), date(2024, 7, 25)


@dataclass
class Thread:
    """What was made: 400 stems cut, 300 hung, 280 sound, 27 firsts of ten and one loss of ten in bunching."""

    worker: Worker
    planting: Planting
    lot: Lot
    hanging: Hanging
    line: Line
    batch: Batch
    box: Box


def spin_thread(by: User, *, cleared: bool = True) -> Thread:
    """A planting of 10 m2 that cost 100.00 in seed and 12.00 in work, cut, hung, taken down and bunched."""
    worker = daybook.add_worker(by=by, name="Juniper", paid=True)
    daybook.set_worker_rate(by=by, worker=worker, on=date(2024, 1, 1), per_hour=1200)
    planting = plant(by)
    seed = daybook.BoughtLine("seed", CostKind.objects.get(code="plants"), 10000, 0, [(planting.cost_object, 1)])
    daybook.record_purchase(by=by, on=PLANTED, supplier="Seed house", lines=[seed])
    daybook.note_work(by=by, worker=worker, on=PLANTED, minutes=60, task="growing", spent_on=[(planting.cost_object, 1)])
    lot = growing.cut(by=by, planting=planting, on=CUT, stage="half_open", stems=400)
    place = drying.add_place(by=by, name="Loft", unit="hooks", room=50)
    hanging = drying.hang(by=by, lot=lot, on=HUNG, place=place, stems=300, room=10)
    growing.throw_out(by=by, lot=lot, on=HUNG, stems=100, why="blown")
    drying.take_down(by=by, hanging=hanging, on=DOWN, stems=300, losses={"shattered": 20})
    if cleared:
        growing.clear(by=by, planting=planting, on=date(2024, 10, 1))
    return bunch(by, worker, planting, lot, hanging)


def plant(by: User, *, name: str = "Strawflower", expected: int | None = 500) -> Planting:
    """Ten m2 in the only bed of a plot without a yearly cost."""
    plot = growing.add_plot(by=by, name=f"{name} plot", kind="open", area_m2=Decimal(100))
    bed = growing.add_bed(by=by, plot=plot, name="1", area_m2=Decimal(10))
    species = growing.add_species(by=by, name=name)
    variety = growing.add_variety(by=by, species=species, name="Copper", colour="copper")
    return growing.plant(
        by=by, on=PLANTED, variety=variety, bed=bed, area_m2=Decimal(10), season=2024, expected_stems=expected
    )


def bunch(by: User, worker: Worker, planting: Planting, lot: Lot, hanging: Hanging) -> Thread:
    """270 stems into 27 bunches in a box, ten lost, an hour's work; nothing left loose."""
    line = stock.add_line(
        by=by, variety=planting.variety, colour="copper", grade="firsts", finish="natural", unit="bunch", stems=10
    )
    box = stock.new_box(by=by, shelf="A1")
    output = stock.Output(line=line, made=27, box=box)
    run = stock.make_run(by=by, on=BUNCHED, inputs=[(hanging, 280)], outputs=[output], lost=10)
    daybook.note_work(by=by, worker=worker, on=BUNCHED, minutes=60, task="bunching", spent_on=[(run.cost_object, 1)])
    return Thread(worker, planting, lot, hanging, line, run.batches.get(), box)
