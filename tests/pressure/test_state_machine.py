"""Stock and sales driven by random verbs, beside a plain account that must agree after every step."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from copy import deepcopy
from dataclasses import dataclass, field
from datetime import date, timedelta
from typing import Any

from django.core.exceptions import ValidationError
from django.db import transaction
from hypothesis import HealthCheck, Phase, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, rule, run_state_machine_as_test

from ledger.books.queries.proof import prove
from ledger.drying import actions as drying
from ledger.drying.models import Hanging
from ledger.facts.models import User
from ledger.pricing.models import Way
from ledger.sales import actions as sales
from ledger.sales.models import Customer, OrderLine
from ledger.stock import actions as stock
from ledger.stock.models import Balance, Box, Content, Line
from ledger.stock.queries import lowest_free
from tests.factories.drying import LotFactory, PlaceFactory
from tests.factories.pricing import StallFactory, TradeFactory
from tests.factories.sales import CustomerFactory
from tests.factories.stock import BoxFactory, LineFactory
from tests.refusals import codes_of

from .plain_book import Fact, Refused
from .plain_sales import Account

FIRST_DAY = date(2024, 9, 1)
LAST_DAY = 6
DAYS = st.sampled_from([LAST_DAY, LAST_DAY, LAST_DAY, 5, 4, 3, 2, 1, 0])
MADE, ORDERED = st.sampled_from([0, 0, 1, 3, LAST_DAY]), st.sampled_from([1, 1, 2, 4, LAST_DAY])
FEW, ONE_OR_TWO, WHICH = st.integers(1, 6), st.integers(1, 2), st.integers(0, 11)
UNDOING: dict[str, Callable[..., Any]] = {
    "movement": stock.undo_movement, "run": stock.undo_run, "count": stock.undo_count, "held_back": stock.undo_hold_back,
    "let_go": stock.undo_let_go, "order": sales.undo_order, "promise": sales.undo_promise, "packing": sales.unpack,
    "dispatch": sales.undo_dispatch, "sale": sales.undo_sale, "asked": sales.undo_asked_change,
}
NAMED = {"promise": "change", "asked": "change"}


@dataclass
class World:
    """What there is before the first step; every example begins here."""

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
    """Plenty of stems down, two lines and three boxes with nothing in them."""
    lot = LotFactory(on=date(2024, 7, 1), stems=40_000)
    hanging = drying.hang(by=by, lot=lot, on=lot.on, place=PlaceFactory(), stems=40_000, room=5)
    drying.take_down(by=by, hanging=hanging, on=date(2024, 7, 20), stems=40_000)
    lines = [LineFactory(variety=lot.planting.variety, stems=5, grade=grade) for grade in ("firsts", "seconds")]
    boxes = [BoxFactory(shelf=f"A{at}") for at in range(3)]
    return World(by, hanging, lines, boxes, StallFactory(), TradeFactory(), CustomerFactory())


def day(number: int) -> date:
    return FIRST_DAY + timedelta(number)


STEPS: dict[str, st.SearchStrategy[dict[str, Any]]] = {}
OFTEN = ["undo"] * 4 + ["sell"] * 3 + ["fill_again", "let_go", "pack", "send", "take_out"] * 2


def verb(where: Callable[[Any], Any] = lambda _: True, **given: st.SearchStrategy[Any]) -> Callable[..., Any]:
    """Let a method be a step, with what is drawn for it; nothing is done unless there is something to do it to (`where`)."""

    def note(method: Callable[..., None]) -> Callable[..., None]:
        def done(self: Any, **drawn: Any) -> None:
            if where(self):
                method(self, **drawn)

        STEPS[method.__name__] = st.fixed_dictionaries(given)
        return done

    return note


class StockAndSales(RuleBasedStateMachine):
    """Each rule does one verb in the account and in the ledger: both do it, or both refuse."""

    def __init__(self, world: World) -> None:
        super().__init__()
        self.world, self.on = world, 0
        self.account = Account(lines=len(world.lines), shelved=[1, 2, 3])
        self.rows: dict[int, Any] = dict(enumerate(world.boxes, start=1))
        self.whole = transaction.atomic()
        self.whole.__enter__()

    @initialize(made=st.integers(3, 6), n=FEW)
    def begin(self, made: int, n: int) -> None:
        """Both lines in two boxes, an order of each, some of it packed."""
        self.make_run(on=0, made=[(made, 1), (made, 2)])
        self.make_run(on=1, made=[(n, 1)])
        self.take_order(on=1, asked=[(5, 4), (5, 2)], first=0)
        self.pack(on=2, which=1, at=0, n=min(n, 3))

    @rule(data=st.data())
    def step(self, data: st.DataObject) -> None:
        """One verb; were each a rule, most would be left out of a run, and what rests on several never be reached."""
        name = data.draw(st.sampled_from([*OFTEN, *STEPS]))
        getattr(self, name)(**data.draw(STEPS[name]))

    def teardown(self) -> None:
        """Prove what came of it, then let the next example begin where this one did."""
        try:
            assert prove().differences == []
        finally:
            transaction.set_rollback(True)
            self.whole.__exit__(None, None, None)

    def both(self, verb: str, account: Callable[[Account], Any], ledger: Callable[[], Any]) -> tuple[Any, Any] | None:
        """Do it in both, and say what each made; None where both refused."""
        trial, why = deepcopy(self.account), None
        try:
            made = account(trial)
        except Refused as error:
            why = str(error)
        try:
            row = ledger()
        except ValidationError as error:
            assert why is not None, f"{verb}: the ledger refuses ({codes_of(error)}) what the account allows"
            self.world.refused[f"{verb}: {why}"] += 1
            return None
        assert why is None, f"{verb}: the ledger does what the account refuses ({why})"
        self.account = trial
        self.world.worked[verb] += 1
        return made, row

    def keep(self, done: tuple[Any, Any] | None) -> None:
        """Remember which row of the ledger a fact of the account is."""
        if done is not None:
            self.rows[done[0]] = done[1]

    def given(self, on: int) -> dict[str, Any]:
        self.on = on
        return {"by": self.world.by, "on": day(on)}

    def box(self, key: int | None) -> Any:
        return self.rows[key] if key else None

    def place(self, which: int, line: int | None = None) -> tuple[int, int | None]:
        """One of the places on the shelves, or not boxed, where something lies; of a line where it can be."""
        there = sorted(self.account.contents(), key=str)
        there = [place for place in there if place[1] is None or place[1] in self.account.shelved]
        there = [place for place in there if self.account.batches[place[0]].line == line] or there
        return there[which % len(there)]

    def of_kind(self, kind: str, which: int) -> int:
        found = [key for key, fact in self.account.facts.items() if fact.kind == kind]
        return found[-1 - which % len(found)]

    def has(self, kind: str) -> bool:
        return any(fact.kind == kind for fact in self.account.facts.values())

    def has_on_shelf(self) -> bool:
        return any(box is None or box in self.account.shelved for _, box in self.account.contents())

    # Stock

    @verb(on=MADE, made=st.lists(st.tuples(FEW, st.integers(0, 3)), min_size=1, max_size=2))
    def make_run(self, on: int, made: list[tuple[int, int]]) -> None:
        outputs = [(line, n * 2, box or None) for line, (n, box) in enumerate(made)]
        put = [stock.Output(self.world.lines[line], n, box=self.box(box)) for line, n, box in outputs]
        inputs = [(self.world.hanging, 5 * sum(n for _, n, _ in outputs))]
        done = self.both(
            "make_run", lambda account: account.make(on, outputs),
            lambda: stock.make_run(**self.given(on), inputs=inputs, outputs=put),
        )
        self.keep(done)
        if done is not None:
            batches = self.account.facts[done[0]].more["batches"]
            self.rows.update(zip(batches, done[1].batches.order_by("line"), strict=True))

    @verb(where=has_on_shelf, on=DAYS, which=WHICH, to=st.integers(0, 3), n=FEW)
    def move(self, on: int, which: int, to: int, n: int) -> None:
        batch, box = self.place(which)
        where = {"source": self.box(box), "target": self.box(to)}
        self.keep(self.both(
            "move", lambda account: account.move(on, (batch, box), to or None, n),
            lambda: stock.move(**self.given(on), batch=self.rows[batch], bunches=n, **where)[0],
        ))

    @verb(where=has_on_shelf, on=DAYS, which=WHICH, n=FEW, written_off=st.booleans())
    def take_out(self, on: int, which: int, n: int, written_off: bool) -> None:
        batch, box = self.place(which)
        verb, kind = (stock.write_off, "written off") if written_off else (stock.draw, "drawn")
        self.keep(self.both(
            kind, lambda account: account.take_out(on, (batch, box), n, kind),
            lambda: verb(**self.given(on), batch=self.rows[batch], box=self.box(box), bunches=n, reason="mice"),
        ))

    @verb(
        where=has_on_shelf, on=DAYS, at=st.integers(1, 3), which=WHICH,
        numbers=st.lists(st.integers(0, 8), min_size=1, max_size=2),
    )
    def count(self, on: int, at: int, which: int, numbers: list[int]) -> None:
        made = [key for key, batch in self.account.batches.items() if batch.stands]
        counted = {made[(which + step) % len(made)]: n for step, n in enumerate(numbers)}
        by_batch = {self.rows[batch]: n for batch, n in counted.items()}
        self.keep(self.both(
            "count", lambda account: account.count(on, at, counted),
            lambda: stock.count_box(**self.given(on), box=self.box(at), counted=by_batch),
        ))

    @verb(on=DAYS, at=st.integers(1, 3), until=st.integers(0, 7))
    def hold_back(self, on: int, at: int, until: int) -> None:
        self.keep(self.both(
            "hold_back", lambda account: account.hold_back(on, at, until),
            lambda: stock.hold_back(**self.given(on), box=self.box(at), until=day(until), why="to be looked over"),
        ))

    @verb(where=lambda self: self.has("held_back"), on=DAYS, which=WHICH)
    def let_go(self, on: int, which: int) -> None:
        held = self.of_kind("held_back", which)
        self.rows[held].refresh_from_db()
        self.keep(self.both(
            "let_go", lambda account: account.let_go(on, held),
            lambda: stock.let_go(**self.given(on), held_back=self.rows[held]),
        ))

    @verb(where=lambda self: self.gone(), on=DAYS, which=WHICH, n=ONE_OR_TWO, box=st.integers(0, 3))
    def bring_back(self, on: int, which: int, n: int, box: int) -> None:
        key = self.gone()[which % len(self.gone())]
        self.keep(self.both(
            "bring_back", lambda account: account.bring_back(on, key, n, box or None),
            lambda: stock.take_back(**self.given(on), movement=self.movement(key), bunches=n, box=self.box(box)),
        ))

    def gone(self) -> list[int]:
        return [row.key for row in self.account.standing() if row.kind in {"sold", "drawn"}]

    def movement(self, key: int) -> Any:
        """The row of the stock book that a row of the account is: that of the same place among its fact's own."""
        fact, of = next((fact, of) for of, fact in self.account.facts.items() if key in fact.rows)
        if fact.kind == "movement":
            return self.rows[of]
        rows = [one for one in fact.rows if self.account.rows[one].kind == "sold"]
        parts = self.rows[of].takings if fact.kind == "sale" else self.rows[of].lines
        return parts.order_by("pk")[rows.index(key)].movement

    # Orders

    @verb(on=ORDERED, asked=st.lists(st.tuples(FEW, st.integers(0, 4)), min_size=1, max_size=2), first=st.integers(0, 1))
    def take_order(self, on: int, asked: list[tuple[int, int]], first: int) -> None:
        wanted = [((first + at) % 2, n + 1, min(n + 1, promised)) for at, (n, promised) in enumerate(asked)]
        lines = [sales.Asked(self.world.lines[line], n, promised, 300) for line, n, promised in wanted]
        done = self.both(
            "take_order", lambda account: account.take_order(on, wanted),
            lambda: sales.take_order(**self.given(on), customer=self.world.customer, way=self.world.trade, lines=lines),
        )
        self.keep(done)
        if done is not None:
            self.rows.update(zip(self.account.facts[done[0]].more["lines"], done[1].lines.order_by("pk"), strict=True))

    def order_line(self, which: int) -> int:
        there = list(self.account.order_lines)
        return there[-1 - which % len(there)]

    @verb(
        where=lambda self: self.account.order_lines, on=DAYS, which=WHICH, n=ONE_OR_TWO,
        verb=st.sampled_from(["promise_more", "cancel"]),
    )
    def promise_or_give_back(self, on: int, which: int, n: int, verb: str) -> None:
        of = self.order_line(which)
        self.keep(self.both(
            verb, lambda account: getattr(account, verb)(of, on, n),
            lambda: getattr(sales, verb)(**self.given(on), order_line=self.rows[of], bunches=n),
        ))

    @verb(where=lambda self: any(self.account.short(of) for of in self.account.order_lines), on=DAYS, which=WHICH, n=ONE_OR_TWO)
    def fill_again(self, on: int, which: int, n: int) -> None:
        short = [of for of in self.account.order_lines if self.account.short(of)]
        of = short[which % len(short)]
        self.both(
            "fill_again", lambda account: account.fill_again(of, on, n),
            lambda: stock.fill_again(**self.given(on), hold=self.rows[of].hold, bunches=n),
        )

    @verb(where=lambda self: self.account.order_lines and self.has_on_shelf(), on=DAYS, which=WHICH, at=WHICH, n=ONE_OR_TWO)
    def pack(self, on: int, which: int, at: int, n: int) -> None:
        of = self.order_line(which)
        batch, box = self.place(at, line=self.account.order_lines[of].line)
        done = self.both(
            "pack", lambda account: account.pack(of, on, (batch, box), n),
            lambda: sales.pack(
                **self.given(on), order_line=self.rows[of], batch=self.rows[batch], box=self.box(box), bunches=n
            ),
        )
        self.keep(done)
        if done is not None:
            self.rows[self.account.facts[done[0]].more["parcel"]] = done[1].parcel.box

    @verb(where=lambda self: self.has("packing"), on=DAYS, which=WHICH)
    def send(self, on: int, which: int) -> None:
        packed = [of for of in self.account.order_lines if self.account.packings(of)] or list(self.account.order_lines)
        order = self.account.order_lines[packed[-1 - which % len(packed)]].order
        self.keep(self.both(
            "send", lambda account: account.send(order, on), lambda: sales.send(**self.given(on), order=self.rows[order])
        ))

    @verb(where=lambda self: self.has("dispatch"), on=DAYS, which=WHICH)
    def invoice(self, on: int, which: int) -> None:
        order = self.account.facts[self.of_kind("dispatch", which)].more["order"]
        self.both(
            "invoice", lambda account: account.invoice(order, on),
            lambda: sales.invoice(**self.given(on), order=self.rows[order]),
        )

    # Retail and undoing

    @verb(on=DAYS, line=st.integers(0, 1), n=FEW, box=st.integers(0, 3), beyond=st.booleans())
    def sell(self, on: int, line: int, n: int, box: int, beyond: bool) -> None:
        sold = sales.Sold(n, line=self.world.lines[line], price=500, box=self.box(box))
        self.keep(self.both(
            "sell beyond" if beyond else "sell", lambda account: account.sell(on, line, n, box or None, beyond=beyond),
            lambda: sales.sell(**self.given(on), way=self.world.stall, lines=[sold], beyond_record=beyond),
        ))

    @verb(where=lambda self: self.account.facts, kind=st.sampled_from(["", *UNDOING]), which=WHICH)
    def undo(self, kind: str, which: int) -> None:
        facts = self.account.facts.items()
        standing = [key for key, fact in facts if fact.stands and not self.is_sent(fact)]
        of_kind = [key for key in standing if self.account.facts[key].kind == kind]
        keys = of_kind or standing
        for _ in range(2 if which == 7 else 1) if keys else ():
            self.undo_one(keys[-1 - which % len(keys)])

    def is_sent(self, fact: Fact) -> bool:
        return fact.kind == "packing" and self.account.is_sent(fact.more["parcel"])

    def undo_one(self, key: int) -> None:
        kind = self.account.facts[key].kind
        given = {NAMED.get(kind, kind): self.rows[key]}
        self.both(f"undo {kind}", lambda account: account.undo(key), lambda: UNDOING[kind](by=self.world.by, **given))

    # What must agree

    @invariant()
    def boxes_agree(self) -> None:
        """What lies where is the same in both, and nowhere less than nothing."""
        names = {self.rows[key].pk: key for key in self.account.batches}
        boxes = {self.rows[key].pk: key for key in [*self.account.shelved, *self.account.parcels]}
        found = Content.objects.exclude(bunches=0).values_list("batch", "box", "bunches")
        there = {(names[batch], boxes.get(box)): n for batch, box, n in found}
        assert there == self.account.contents()
        assert all(n > 0 for n in there.values())

    @invariant()
    def lines_agree(self) -> None:
        """On hand, promised and free of each line are the same in both, and never more promised than there is."""
        for at, line in enumerate(self.world.lines):
            balance = Balance.objects.get(line=line)
            assert (balance.on_hand, balance.held) == (self.account.on_hand(at), self.account.held(at))
            assert 0 <= balance.held <= balance.on_hand
            assert lowest_free(line, day(self.on)) == self.account.free(at, self.on)

    @invariant()
    def orders_agree(self) -> None:
        """Asked, promised, given back, short, kept, packed and sent of each order line are the same in both."""
        keys = {self.rows[of].pk: of for of in self.account.order_lines}
        for line in OrderLine.objects.with_standing():
            figures = self.account.figures(keys[line.pk])
            assert {name: getattr(line, name) for name in figures} == figures
            assert min(figures.values()) >= 0


PROFILE = settings(
    max_examples=40, stateful_step_count=30, suppress_health_check=list(HealthCheck),
    phases=set(Phase) - {Phase.shrink, Phase.explain},
)


def test_the_ledger_keeps_stock_and_sales_as_a_plain_account_does(owner: User) -> None:
    """Forty runs of thirty random verbs, back-dated and undone: the same figures after every step, and the proof at the end."""
    world = lay_out(owner)

    run_state_machine_as_test(lambda: StockAndSales(world), settings=PROFILE)

    undone = {f"undo {kind}" for kind in UNDOING}
    done = {"make_run", "take_order", "pack", "send", "sell", "sell beyond", "count", "written off", "bring_back", "cancel"}
    assert set(world.worked) >= done
    assert len(undone - set(world.worked)) <= 3, "more undoings than the chance of the draw lets out"
    assert sum(world.refused.values()) < sum(world.worked.values())
