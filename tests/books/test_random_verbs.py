"""Verbs of growing, drying, stock and sales in any order, back-dated, undone and done again."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import date, timedelta
from typing import Any

from django.core.exceptions import ValidationError
from django.db import transaction
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st

from ledger.books.queries.proof import prove
from ledger.drying import actions as drying
from ledger.drying.models import Hanging, Oddments, Place, TakingDown
from ledger.facts.models import User
from ledger.growing import actions as growing
from ledger.growing.models import Clearing, Lot, Parting
from ledger.pricing.models import Way
from ledger.sales import actions as sales
from ledger.sales.models import (
    AskedChange,
    CameBack,
    Customer,
    Deposit,
    Dispatch,
    Job,
    JobCancelled,
    JobDone,
    Order,
    OrderLine,
    Packing,
    Sale,
    Taken,
)
from ledger.sales.queries.jobs import deposits_held
from ledger.stock import actions as stock
from ledger.stock.models import Balance, Batch, Box, Content, Hold, HoldChange, Line, Movement, Run, StockCount
from tests.factories.drying import LotFactory, PlaceFactory, PlantingFactory
from tests.factories.jobs import JobFactory, PieceFactory
from tests.factories.pricing import StallFactory, TradeFactory
from tests.factories.sales import CustomerFactory
from tests.factories.stock import BoxFactory, LineFactory

FIRST_DAY = date(2024, 7, 1)


def undo_hold_change(*, by: User, change: HoldChange) -> Any:
    """An order's promise, or what is kept for a job."""
    verb = sales.undo_kept if hasattr(change.hold, "job_hold") else sales.undo_promise
    return verb(by=by, change=change)


UNDOING: dict[type, tuple[Callable[..., Any], str]] = {
    Lot: (growing.undo_lot, "lot"), Parting: (growing.undo_parting, "parting"), Clearing: (growing.undo_clearing, "clearing"),
    Hanging: (drying.undo_hanging, "hanging"), TakingDown: (drying.undo_taking_down, "taking"),
    Oddments: (drying.undo_oddments, "oddments"),
    Run: (stock.undo_run, "run"), Movement: (stock.undo_movement, "movement"), StockCount: (stock.undo_count, "count"),
    Sale: (sales.undo_sale, "sale"), Packing: (sales.unpack, "packing"), Dispatch: (sales.undo_dispatch, "dispatch"),
    Order: (sales.undo_order, "order"), HoldChange: (undo_hold_change, "change"),
    AskedChange: (sales.undo_asked_change, "change"), Deposit: (sales.undo_deposit, "deposit"),
    Taken: (sales.undo_taken, "taken"), CameBack: (sales.undo_came_back, "came_back"),
    JobDone: (sales.undo_job_done, "job_done"), JobCancelled: (sales.undo_cancelling, "job_cancelled"),
}


class NothingThere(Exception):
    """The step drawn has nothing to be done to."""


@dataclass
class Choice:
    """One step as drawn: which verb, on which day, with which numbers."""

    verb: str
    day: int
    which: int
    number: int

    @property
    def on(self) -> date:
        return FIRST_DAY + timedelta(self.day)

    def of(self, rows: Any) -> Any:
        """One of the rows there are."""
        found = list(rows.order_by("pk"))
        if not found:
            raise NothingThere
        return found[self.which % len(found)]


def cut(by: User, one: Choice) -> Any:
    lot = one.of(Lot.objects.all())
    return growing.cut(by=by, planting=lot.planting, on=one.on, stage="full", stems=one.number * 10)


def part(by: User, one: Choice) -> Any:
    verb = growing.throw_out if one.number % 2 else growing.draw_stems
    return verb(by=by, lot=one.of(Lot.objects.all()), on=one.on, stems=one.number * 3)


def clear(by: User, one: Choice) -> Any:
    return growing.clear(by=by, planting=one.of(Lot.objects.all()).planting, on=one.on + timedelta(20))


def hang(by: User, one: Choice) -> Any:
    place = Hanging.objects.first().place
    return drying.hang(by=by, lot=one.of(Lot.objects.all()), on=one.on, place=place, stems=one.number * 10, room=one.number)


def move_on(by: User, one: Choice) -> Any:
    hanging, place = one.of(Hanging.objects.all()), one.of(Place.objects.all())
    return drying.move_hanging(by=by, hanging=hanging, on=one.on, place=place, stems=one.number * 5, room=one.number)


def keep_oddments(by: User, one: Choice) -> Any:
    return drying.keep_oddments(by=by, hanging=one.of(Hanging.objects.all()), on=one.on, stems=one.number, value=one.number)


def take_down(by: User, one: Choice) -> Any:
    losses = {"mould": one.number} if one.number % 3 == 0 else {}
    return drying.take_down(by=by, hanging=one.of(Hanging.objects.all()), on=one.on, stems=one.number * 8, losses=losses)


def bunch(by: User, one: Choice) -> Any:
    made, hanging = one.number, one.of(Hanging.objects.all())
    output = stock.Output(one.of(Line.objects.all()), made, box=one.of(shelved()) if one.which % 2 else None)
    return stock.make_run(by=by, on=one.on, inputs=[(hanging, made * 5 + 1)], outputs=[output], lost=1)


def shelved() -> Any:
    return Box.objects.filter(parcel=False)


def content(one: Choice) -> Content:
    return one.of(Content.objects.filter(bunches__gt=0))


def move(by: User, one: Choice) -> Any:
    at = content(one)
    target = one.of(shelved().exclude(pk=at.box_id))
    return stock.move(by=by, on=one.on, batch=at.batch, bunches=min(one.number, at.bunches), source=at.box, target=target)[0]


def draw(by: User, one: Choice) -> Any:
    at = content(one)
    return stock.draw(by=by, on=one.on, batch=at.batch, box=at.box, bunches=one.number, reason="sample")


def write_off(by: User, one: Choice) -> Any:
    at = content(one)
    return stock.write_off(by=by, on=one.on, batch=at.batch, box=at.box, bunches=one.number, reason="mice")


def count(by: User, one: Choice) -> Any:
    counted = {at: one.number for at in Batch.objects.standing().order_by("pk")[: 1 + one.which % 2]}
    return stock.count_box(by=by, on=one.on, box=one.of(shelved()), counted=counted)


def take_back(by: User, one: Choice) -> Any:
    gone = one.of(Movement.objects.filter(kind__in=["sold", "drawn"]))
    return stock.take_back(by=by, on=one.on, movement=gone, bunches=one.number, box=one.of(shelved()))


def sell(by: User, one: Choice) -> Any:
    sold = sales.Sold(one.number, line=one.of(Line.objects.all()), price=500)
    lines = [sold] if one.which % 3 else [sold, sales.Sold(one.number, lot=one.of(Lot.objects.all()), price=50)]
    return sales.sell(by=by, on=one.on, way=Way.objects.retail().first(), lines=lines, beyond_record=bool(one.which % 2))


def take_order(by: User, one: Choice) -> Any:
    asked = [sales.Asked(line, one.number + 2, one.number, 300) for line in Line.objects.order_by("pk")[: 1 + one.which % 2]]
    way, customer = Way.objects.on_order().first(), Customer.objects.first()
    return sales.take_order(by=by, on=one.on, customer=customer, way=way, lines=asked)


def promise(by: User, one: Choice) -> Any:
    return sales.promise_more(by=by, order_line=one.of(OrderLine.objects.all()), on=one.on, bunches=one.number)


def cancel(by: User, one: Choice) -> Any:
    return sales.cancel(by=by, order_line=one.of(OrderLine.objects.all()), on=one.on, bunches=1)


def fill_again(by: User, one: Choice) -> Any:
    return stock.fill_again(by=by, hold=one.of(Hold.objects.left_short()), on=one.on, bunches=1)


def pack(by: User, one: Choice) -> Any:
    wanted = one.of(OrderLine.objects.all())
    at = one.of(Content.objects.there().out_of_parcels().filter(batch__line=wanted.line))
    return sales.pack(by=by, order_line=wanted, on=one.on, batch=at.batch, box=at.box, bunches=min(one.number, at.bunches))


def send(by: User, one: Choice) -> Any:
    return sales.send(by=by, order=one.of(Order.objects.all()), on=one.on)


def keep(by: User, one: Choice) -> Any:
    kept = sales.keep_for_job(by=by, job=one.of(Job.objects.all()), on=one.on, line=one.of(Line.objects.all()), bunches=1)
    return kept.hold.changes.standing().latest("pk")


def take(by: User, one: Choice) -> Any:
    job = one.of(Job.objects.all())
    if one.which % 3:
        return sales.take_bunches_for(by=by, work=job, on=one.on, line=one.of(Line.objects.all()), bunches=one.number)
    return sales.take_stems_for(by=by, work=job, on=one.on, lot=one.of(Lot.objects.all()), stems=one.number * 3)


def bring_back(by: User, one: Choice) -> Any:
    taken = one.of(Taken.objects.standing().exclude(line=None))
    return sales.bring_bunches_back(by=by, taken=taken, on=one.on, bunches=1, box=one.of(shelved()))


def deposit(by: User, one: Choice) -> Any:
    return sales.take_deposit(by=by, job=one.of(Job.objects.all()), on=one.on, amount=one.number * 100)


def end_job(by: User, one: Choice) -> Any:
    job = one.of(Job.objects.all())
    if one.number % 2:
        return sales.do_job(by=by, job=job, on=one.on)
    return sales.cancel_job(by=by, job=job, on=one.on, kept=min(one.number * 50, deposits_held(job)))


VERBS = {
    verb.__name__: verb
    for verb in (cut, part, clear, hang, move_on, take_down, keep_oddments, bunch, move, draw, write_off, count, take_back, sell,
                 take_order, promise, cancel, fill_again, pack, send, keep, take, bring_back, deposit, end_job)
}
SELDOM = {"fill_again", "clear"}
OFTEN = ["take_back", "hang", "take_down", "bunch", "bunch", "take_order", "pack", "pack", "send", "send", "undo", "undo", "undo"]

CHOICES = st.builds(
    Choice, verb=st.sampled_from([*VERBS, *OFTEN]), day=st.sampled_from([2, 7, 8, 9, 10, 11]), which=st.integers(0, 7),
    number=st.integers(1, 7),
)


@dataclass
class Season:
    """What was done, so that it can be undone in any order."""

    by: User
    done: list[Any] = field(default_factory=list)
    worked: Counter[str] = field(default_factory=Counter)

    def step(self, one: Choice) -> bool:
        """Do one step and say whether it was done; a refusal leaves everything as it was."""
        try:
            with transaction.atomic():
                self.undo(one) if one.verb == "undo" else self.done.append(VERBS[one.verb](self.by, one))
        except (ValidationError, NothingThere):
            return False
        self.worked[one.verb] += 1
        return True

    def undo(self, one: Choice) -> None:
        if not self.done:
            raise NothingThere
        fact = self.done[-1 - one.which % len(self.done)]
        undoing, name = UNDOING[type(fact)]
        undoing(by=self.by, **{name: fact})
        assert not type(fact)._base_manager.get(pk=fact.pk).stands


def begin(by: User) -> None:
    """Two lines of one variety, ten bunches of each in a box, three sold; an order of three of each, two packed; two jobs."""
    lot = LotFactory(planting=PlantingFactory(area_m2=5), on=FIRST_DAY, stems=1000)
    hanging = drying.hang(by=by, lot=lot, on=FIRST_DAY, place=PlaceFactory(), stems=300, room=5)
    drying.take_down(by=by, hanging=hanging, on=FIRST_DAY + timedelta(5), stems=200, losses={"mould": 20})
    PlaceFactory()
    lines = [LineFactory(variety=lot.planting.variety, stems=5, grade=grade) for grade in ("firsts", "seconds")]
    outputs = [stock.Output(line, 10, box=BoxFactory()) for line in lines]
    stock.make_run(by=by, on=FIRST_DAY + timedelta(6), inputs=[(hanging, 100)], outputs=outputs)
    on = FIRST_DAY + timedelta(7)
    sales.sell(by=by, on=on, way=StallFactory(), lines=[sales.Sold(3, line=lines[0], price=500)])
    asked = [sales.Asked(line, 6, 3, 300) for line in lines]
    order = sales.take_order(by=by, on=on, customer=CustomerFactory(), way=TradeFactory(), lines=asked)
    batch = Batch.objects.get(line=lines[0])
    sales.pack(by=by, order_line=order.lines.get(line=lines[0]), on=on, batch=batch, box=outputs[0].box, bunches=2)
    for job in (JobFactory(on=FIRST_DAY), JobFactory(on=FIRST_DAY)):
        PieceFactory(job=job, on=FIRST_DAY)
    taken = sales.take_bunches_for(by=by, work=Job.objects.latest("pk"), on=on, line=lines[1], bunches=2)
    sales.bring_bunches_back(by=by, taken=taken, on=on, bunches=1, box=outputs[1].box)


def figures() -> tuple[Any, ...]:
    """All that stands of stems and bunches: what is where, on hand and held, what each hold keeps, what left the lots."""
    return (
        sorted(Content.objects.exclude(bunches=0).values_list("batch", "box", "bunches"), key=str),
        list(Balance.objects.order_by("pk").values_list("line", "on_hand", "held")),
        list(Hold.objects.standing().with_kept().exclude(kept=0).order_by("pk").values_list("pk", "kept")),
        list(Parting.objects.standing().order_by("pk").values_list("pk", "stems")),
        list(Hanging.objects.standing().order_by("pk").values_list("pk", "stems", "place")),
        list(TakingDown.objects.standing().order_by("pk").values_list("pk", "stems", "sound")),
        list(Oddments.objects.standing().order_by("pk").values_list("pk", "stems")),
        [deposits_held(job) for job in Job.objects.order_by("pk")],
    )


NO_SHRINKING = tuple(phase for phase in Phase if phase not in {Phase.shrink, Phase.explain})


@settings(max_examples=90, suppress_health_check=list(HealthCheck), phases=NO_SHRINKING)
@given(st.lists(CHOICES, min_size=8, max_size=12))
def undone_at_once(by: User, worked: Counter[str], choices: list[Choice]) -> None:
    """After some steps each verb that can be undone, done and undone, leaves every figure as it was."""
    with transaction.atomic():
        season = Season(by)
        for choice in choices:
            before = figures()
            if choice.verb != "undo" and season.step(choice) and type(season.done[-1]) in UNDOING:
                with transaction.atomic():
                    season.undo(Choice("undo", 0, 0, 0))
                    assert figures() == before, f"{choice.verb} undone: {before} became {figures()}"
                    transaction.set_rollback(True)
                worked[choice.verb] += 1
        transaction.set_rollback(True)


def test_a_verb_undone_restores_exactly_what_stood(owner: User) -> None:
    """What is where, on hand, promised and hanging is as before the verb."""
    begin(owner)
    worked: Counter[str] = Counter()

    undone_at_once(owner, worked)

    assert set(worked) >= set(VERBS) - SELDOM


def test_quantities_balance_in_whatever_order_verbs_are_entered_and_undone(owner: User) -> None:
    """Sixty seasons of random verbs, back-dated and undone in any order: the ledger proves after each."""
    begin(owner)
    worked: Counter[str] = Counter()

    @settings(max_examples=60, suppress_health_check=list(HealthCheck), phases=NO_SHRINKING)
    @given(st.lists(CHOICES, min_size=16, max_size=24))
    def season(choices: list[Choice]) -> None:
        with transaction.atomic():
            one = Season(owner)
            for choice in choices:
                one.step(choice)
            worked.update(one.worked)
            assert prove().differences == []
            assert not Content.objects.filter(bunches__lt=0).exists()
            transaction.set_rollback(True)

    season()
    assert set(worked) >= {*VERBS, "undo"} - SELDOM
