"""Doing one verb in the account and in the ledger, and knowing which row of the one is which of the other."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from copy import deepcopy
from dataclasses import dataclass
from typing import Any

from django.core.exceptions import ValidationError
from django.db import transaction
from hypothesis.stateful import RuleBasedStateMachine

from tests.pressure.plain.book import Fact, Refused
from tests.pressure.plain.jobs import Account
from tests.refusals import codes_of

from .world import PRICE, RATE_BP, Draw, World, day


@dataclass(frozen=True)
class Step:
    """A method of the machine, what is drawn for it, and whether there is anything to do it to."""

    where: Callable[[Any], Any]
    given: dict[str, Draw]
    part: str


STEPS: dict[str, Step] = {}


def verb(where: Callable[[Any], Any] = lambda _: True, **given: Draw) -> Callable[..., Any]:
    """Let a method be a step."""

    def note(method: Callable[..., None]) -> Callable[..., None]:
        STEPS[method.__name__] = Step(where, given, method.__module__)
        return method

    return note


class Both(RuleBasedStateMachine):
    """Each step does one verb in both: both do it, or both refuse. One transaction lies around each example."""

    def __init__(self, world: World) -> None:
        super().__init__()
        self.world, self.on = world, 0
        self.account = Account(lines=len(world.lines), shelved=[1, 2, 3], price=PRICE, rate_bp=RATE_BP)
        self.rows: dict[int, Any] = dict(enumerate(world.boxes, start=1))
        self.whole = transaction.atomic()
        self.whole.__enter__()

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

    # Choosing

    def box(self, key: int | None) -> Any:
        return self.rows[key] if key else None

    def place(self, which: int, line: int | None = None) -> tuple[int, int | None]:
        """One of the places on the shelves, or not boxed, where something lies; of a line where it can be."""
        there = sorted(self.account.contents(), key=str)
        there = [place for place in there if place[1] is None or place[1] in self.account.shelved]
        there = [place for place in there if self.account.batches[place[0]].line == line] or there
        return there[which % len(there)]

    def has_on_shelf(self) -> bool:
        return any(box is None or box in self.account.shelved for _, box in self.account.contents())

    def facts(self, kind: str) -> list[Fact]:
        return [fact for fact in self.account.facts.values() if fact.kind == kind]

    def of_kind(self, kind: str, which: int, *, stands: bool = False) -> int:
        """A fact of a kind, the last first; one that stands where it should and can."""
        found = [key for key, fact in self.account.facts.items() if fact.kind == kind]
        found = [key for key in found if stands and self.account.facts[key].stands] or found
        return self.one_of(found, which)

    def one_of(self, found: Sequence[int], which: int) -> int:
        return found[-1 - which % len(found)]
