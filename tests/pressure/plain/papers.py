"""Invoices of what was sent, and credits of invoices: numbered as they come, never undone."""

from __future__ import annotations

from dataclasses import dataclass, field

from .book import insist
from .orders import Orders


@dataclass
class Paper:
    """An invoice, or a credit of one (`of`); its lines [how many, how many not credited]; net and tax in minor units."""

    day: int
    net: int
    tax: int
    lines: list[list[int]] = field(default_factory=list)
    of: int | None = None


@dataclass
class Papers(Orders):
    """All bunches at one net price, all of one rate of tax in hundredths of a per cent; a paper is known by its number."""

    price: int = 300
    rate_bp: int = 0
    papers: dict[int, Paper] = field(default_factory=dict)

    def invoice(self, order: int, day: int) -> int:
        """Bill what was sent by a day and not billed, line by line as it went."""
        sent = [one for one in self.those("dispatch", order=order, invoiced=False) if one.day <= day]
        insist(bool(sent), "nothing to bill")
        lines = []
        for one in sorted(sent, key=lambda one: one.day):
            one.more["invoiced"] = True
            lines += [[n, n] for _of, n in one.more["lines"]]
        net = self.price * sum(n for n, _left in lines)
        return self._issue(Paper(day, net, self._tax(net), lines))

    def credit(self, number: int, day: int, credited: dict[int, int]) -> int:
        """So many of some lines of an invoice; the tax of all its credits is the tax of their net."""
        paper = self.papers[number]
        insist(day >= paper.day, "before it was invoiced")
        for at, n in credited.items():
            insist(n <= paper.lines[at][1], "credited already")
            paper.lines[at][1] -= n
        before = [one for one in self.papers.values() if one.of == number]
        net = self.price * sum(credited.values())
        tax = self._tax(net + sum(one.net for one in before)) - sum(one.tax for one in before)
        return self._issue(Paper(day, net, tax, of=number))

    def _tax(self, net: int) -> int:
        return (net * self.rate_bp + 5000) // 10_000

    def _issue(self, paper: Paper) -> int:
        self.papers[number := len(self.papers) + 1] = paper
        return number
