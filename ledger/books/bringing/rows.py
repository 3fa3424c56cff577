"""A kind of record, one row of its file, and what can be wrong with it."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date
from functools import cached_property
from typing import Any

from .columns import Column, Key, Named


@dataclass(frozen=True)
class Kind:
    """One kind of record: its file, its columns, and the action that records a row.

    `act` takes `by` and the columns' values under their names; blank cells are
    left out. `parts` names the files whose rows belong to a row of this one and
    the argument they become; a part's own `act` only builds the value. `made`
    finds, in what the head's action returned, the record of one part.
    """

    file: str
    may: str
    about: Any
    act: Callable[..., Any]
    columns: tuple[Column, ...]
    parts: Mapping[str, str] = field(default_factory=dict)
    part_of: str = ""
    made: Callable[[Any, dict[str, Any]], Any] | None = None

    @cached_property
    def by_name(self) -> dict[str, Column]:
        return {column.name: column for column in self.columns}

    @property
    def keyed(self) -> bool:
        """Whether its rows carry a key of their own."""
        return isinstance(self.by_name.get("key"), Key)


@dataclass(frozen=True, order=True)
class Fault:
    """One thing wrong: the file, its line (None: the whole file), the column and why."""

    file: str
    line: int
    column: str
    reason: str


@dataclass(frozen=True, order=True)
class Waiting:
    """A row not looked at to the end, because what it rests on is faulty."""

    file: str
    line: int
    rests_on: str


@dataclass(eq=False)
class Row:
    """One row of a file as read; `state` is how far it has come."""

    kind: Kind
    line: int
    given: dict[str, Any] = field(default_factory=dict)
    state: str = "read"
    parts: list[Row] = field(default_factory=list)
    record: Any = None
    rests_on: str = ""

    @property
    def key(self) -> str:
        return self.given.get("key", "") if self.kind.keyed else ""

    @property
    def on(self) -> date | None:
        return self.given.get("on")

    @property
    def stands(self) -> bool:
        """Whether nothing is known to be wrong with it or below it."""
        return self.state in {"read", "done"}

    def names(self) -> Iterator[Named]:
        """The records this row itself names."""
        for name, value in self.given.items():
            yield from self.kind.by_name[name].names(value)

    def __str__(self) -> str:
        return f"{self.kind.file}.csv {self.line}"


class NotBroughtIn(Exception):
    """Nothing was brought in; says everything that is wrong."""

    def __init__(self, faults: list[Fault], waiting: list[Waiting]) -> None:
        super().__init__(f"{len(faults)} faulty, {len(waiting)} waiting")
        self.faults, self.waiting = faults, waiting
