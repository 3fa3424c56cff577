"""Steps of sales: orders, parcels, papers, and what is sold over the counter."""

from __future__ import annotations

from typing import Any

from ledger.sales import actions as sales
from ledger.sales.queries.papers import lines_to_credit
from ledger.stock import actions as stock

from .both import Both, verb
from .world import DAYS, FEW, LATE, LINE, ONE_OR_TWO, ORDERED, PRICE, WHICH, YES_OR_NO, among, between, one_or_two, pair


class SalesSteps(Both):
    """What is promised, sent, billed and sold."""

    # Orders

    @verb(on=ORDERED, asked=one_or_two(pair(FEW, between(0, 4))), first=LINE)
    def take_order(self, on: int, asked: list[tuple[int, int]], first: int) -> None:
        wanted = [((first + at) % 2, n + 1, min(n + 1, promised)) for at, (n, promised) in enumerate(asked)]
        lines = [sales.Asked(self.world.lines[line], n, promised, PRICE) for line, n, promised in wanted]
        done = self.both(
            "take_order", lambda account: account.take_order(on, wanted),
            lambda: sales.take_order(**self.given(on), customer=self.world.customer, way=self.world.trade, lines=lines),
        )
        self.keep(done)
        if done is not None:
            self.rows.update(zip(self.account.facts[done[0]].more["lines"], done[1].lines.order_by("pk"), strict=True))

    def order_line(self, which: int) -> int:
        return self.one_of(list(self.account.order_lines), which)

    @verb(
        where=lambda self: self.account.order_lines, on=DAYS, which=WHICH, n=ONE_OR_TWO,
        verb=among("promise_more", "cancel"),
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

    @verb(where=lambda self: self.facts("packing"), on=DAYS, which=WHICH)
    def send(self, on: int, which: int) -> None:
        packed = [of for of in self.account.order_lines if self.account.packings(of)] or list(self.account.order_lines)
        order = self.account.order_lines[self.one_of(packed, which)].order
        self.keep(self.both(
            "send", lambda account: account.send(order, on), lambda: sales.send(**self.given(on), order=self.rows[order])
        ))

    # Papers

    @verb(where=lambda self: self.facts("dispatch"), on=LATE, which=WHICH)
    def invoice(self, on: int, which: int) -> None:
        order = self.account.facts[self.of_kind("dispatch", which)].more["order"]
        self.agree_on_paper(self.both(
            "invoice", lambda account: account.invoice(order, on),
            lambda: sales.invoice(**self.given(on), order=self.rows[order]),
        ))

    @verb(where=lambda self: self.account.papers, on=LATE, which=WHICH, n=between(0, 3))
    def credit(self, on: int, which: int, n: int) -> None:
        """All that is left of an invoice (0), or so many of one of its lines."""
        number = self.one_of([one for one, paper in self.account.papers.items() if paper.of is None], which)
        left = [left for _, left in self.account.papers[number].lines]
        some = {which % len(left): n} if n else {at: some for at, some in enumerate(left) if some} or {0: 1}
        invoice = self.rows[-number]
        lines = list(invoice.lines.order_by("pk"))
        credited = [(lines[at], number) for at, number in some.items()]
        self.agree_on_paper(self.both(
            "credit", lambda account: account.credit(number, on, some),
            lambda: sales.credit(**self.given(on), invoice=invoice, lines=credited, why="mould"),
        ))

    def agree_on_paper(self, done: tuple[int, Any] | None) -> None:
        """Number, net, tax and sum are the same on both papers, and what can still be credited of the invoice."""
        if done is None:
            return
        number, row = done
        paper, self.rows[-number] = self.account.papers[number], row
        assert (row.number, row.net, row.tax, row.gross) == (number, paper.net, paper.tax, paper.net + paper.tax)
        of = paper.of or number
        left = [(line.quantity, line.left) for line in lines_to_credit(self.rows[-of])]
        assert left == [(n, left) for n, left in self.account.papers[of].lines]

    # Retail

    @verb(on=DAYS, line=LINE, n=FEW, box=between(0, 3), beyond=YES_OR_NO)
    def sell(self, on: int, line: int, n: int, box: int, beyond: bool) -> None:
        sold = sales.Sold(n, line=self.world.lines[line], price=500, box=self.box(box))
        self.keep(self.both(
            "sell beyond" if beyond else "sell", lambda account: account.sell(on, line, n, box or None, beyond=beyond),
            lambda: sales.sell(**self.given(on), way=self.world.stall, lines=[sold], beyond_record=beyond),
        ))
