"""Whose all that was taken for a job or a workshop is, by what each taking cost."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from ledger.reckoning.book import Book, Key, MovementFact, total
from ledger.reckoning.sharing import share_out
from ledger.sales.queries.income import IncomeLine

from .sold import events_of, kept_of, returns_of

Sources = Mapping[Key, int]


@dataclass(frozen=True)
class Gone:
    """One thing taken and not brought back: whose it is, what it cost (millionths) and how many bunches or stems it is."""

    sources: Sources
    cost: int
    number: int


class WorkShares:
    """The sources of jobs and workshops; `of_parting` and `of_batch` say whose stems and bunches are."""

    def __init__(self, made: Book, of_parting: Mapping[int, Key], of_batch: Mapping[int, Sources]) -> None:
        self.made, self._of_parting, self._of_batch = made, of_parting, of_batch
        self._partings = {one.key: one for one in made.facts.partings}
        self._batch_of = {one.key: one.batch for one in made.facts.movements}
        self._returns: Mapping[int, list[MovementFact]] = returns_of(made)
        self._found: dict[IncomeLine, Sources] = {}

    def parts(self, line: IncomeLine, amount: int) -> list[tuple[Key, int]]:
        """An amount of one line by source; nothing where nothing was taken."""
        whose = self.whose(line)
        return list(zip(whose, share_out(amount, list(whose.values())), strict=True)) if whose else []

    def whose(self, line: IncomeLine) -> Sources:
        """The sources of all that was taken for a line, by cost; by bunches and stems where none of it cost anything."""
        if line not in self._found:
            gone = list(self._gone(line))
            by_cost = added_up((one.sources, one.cost) for one in gone)
            self._found[line] = by_cost or added_up((one.sources, one.number) for one in gone)
        return self._found[line]

    def _gone(self, line: IncomeLine) -> Iterator[Gone]:
        for parting in line.partings:
            cost = total(self.made.by_event.get(("parting", parting), {}))
            yield Gone({self._of_parting[parting]: 1}, cost, self._partings[parting].stems)
        for movement, bunches in line.movements:
            cost = sum(total(self.made.by_event.get(event, {})) for event in events_of(movement, self._returns))
            yield Gone(self._of_batch[self._batch_of[movement]], cost, kept_of(movement, bunches, self._returns))


def added_up(several: Iterable[tuple[Sources, int]]) -> Sources:
    """Amounts shared over their sources and added up, those of nil left out."""
    found: dict[Key, int] = defaultdict(int)
    for sources, amount in several:
        for source, part in zip(sources, share_out(max(amount, 0), list(sources.values())), strict=True):
            found[source] += part
    return {source: part for source, part in found.items() if part}
