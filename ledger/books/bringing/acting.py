"""Bringing a folder in: everything checked through the stages' own actions, all or nothing."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from django.core.exceptions import ValidationError
from django.db import DatabaseError, transaction
from django.utils.translation import gettext_lazy as _

from ledger.facts.models import FormKey, User
from ledger.facts.writing import action, refusal

from .columns import Named
from .files import Files, mark_of
from .kinds import KINDS
from .order import in_order, rests_on
from .reading import Reading, read_all
from .rows import Fault, NotBroughtIn, Row, Waiting
from .unseen import all_below, cause_of

Progress = Callable[[int, int, Row], None]


@dataclass(frozen=True)
class Brought:
    """What was brought in: how many rows of each file."""

    rows: Mapping[str, int]


def no_progress(_looked_at: int, _of: int, _row: Row) -> None:
    """Tell nobody how far it has come."""


def bring_in(*, by: User | None, files: Files, shift: int = 0, progress: Progress = no_progress) -> Brought:
    """Bring in all rows of the files or none; raises NotBroughtIn with every fault.

    `by` None: on a ledger nobody has, the owner named in holding.csv does it.
    `shift`: years to add to every day and year. `progress` is told after each
    row how many of how many were looked at.
    """
    mark = mark_of(files)
    with transaction.atomic():
        earlier = FormKey.objects.filter(pk=mark).select_related("by").first()
        if earlier is not None:
            raise refusal(None, _("Exactly this was brought in by %(by)s on %(at)s."), code="already_brought_in",
                          by=earlier.by, at=earlier.at.date())
        reading = read_all(files, shift)
        who = by or _first_owner(reading)
        _bring_in(by=who, key=mark, reading=reading, progress=progress)
    return Brought(Counter(f"{row.kind.file}.csv" for row in reading.rows))


def _first_owner(reading: Reading) -> User:
    """Let in the owner that holding.csv names, where nobody is there yet."""
    named = [row.given.get("owner") for row in reading.rows if row.kind.file == "holding"]
    if reading.faults and not any(named):
        raise NotBroughtIn(sorted(reading.faults), _waiting(reading))
    if User.objects.exists() or not any(named):
        raise refusal(None, _("Nobody is there yet: name the owner in the column “owner” of holding.csv."), code="no_owner")
    owner = User(username=named[0], role=User.Role.OWNER)
    owner.set_unusable_password()
    owner.full_clean()
    owner.save()
    return owner


@action("books", goes_on=True)
def _bring_in(*, by: User, reading: Reading, progress: Progress) -> None:
    _refuse_role(reading, by)
    if not reading.rows and not reading.faults:
        raise refusal(None, _("There is not one row in it."), code="empty")
    _act_on_all(reading, by, progress)
    if reading.faults:
        raise NotBroughtIn(sorted(reading.faults), _waiting(reading))


def _refuse_role(reading: Reading, by: User) -> None:
    """Report once a file whose kind of record this person's role does not enter."""
    for kind in KINDS.values():
        rows = [row for row in reading.rows if row.kind is kind]
        if rows and not by.may(kind.may):
            reading.faults.append(Fault(f"{kind.file}.csv", 0, "", str(_("Your role does not allow this."))))
            for row in rows:
                row.state, row.rests_on = "waiting", f"{kind.file}.csv"


def _act_on_all(reading: Reading, by: User, progress: Progress) -> None:
    ordered = in_order(reading.rows, reading.by_name)
    for looked_at, row in enumerate(ordered, 1):
        if row.stands:
            _act_or_wait(reading, row, by)
        progress(looked_at, len(ordered), row)
    if not reading.faults:
        _fault_rings(reading, ordered)
    if not reading.holding_is_there() and not reading.faults:
        reading.faults.append(Fault("holding.csv", 0, "", str(_("The ledger is empty: it needs its holding first."))))


def _fault_rings(reading: Reading, rows: list[Row]) -> None:
    """Rows still waiting though nothing is wrong rest on one another."""
    for row in [one for one in rows if one.state == "waiting" and one in all_below(one, reading.by_name)]:
        reading.fault(row, "", _("It rests on %(row)s, which rests on it: neither can come first.") % {"row": row.rests_on})


def _act_or_wait(reading: Reading, row: Row, by: User) -> None:
    below = [one for one in rests_on(row, reading.by_name) if one.state != "done"]
    if below:
        reading.wait(row, below[0])
    elif row.kind.file != "holding" and not reading.holding_is_there():
        row.state, row.rests_on = "waiting", "holding.csv"
    else:
        _act_on(reading, row, by)


def _act_on(reading: Reading, row: Row, by: User) -> None:
    try:
        with transaction.atomic():
            result = row.kind.act(by=by, **_given(row, reading))
    except ValidationError as error:
        _take_refusal(reading, row, error)
    except (DatabaseError, OverflowError) as error:
        reading.fault(row, "", _("It cannot be kept: %(error)s") % {"error": error})
    else:
        _done(reading, row, result)


def _given(row: Row, reading: Reading) -> dict[str, Any]:
    """The arguments of the row's action, records in the place of keys, parts built."""
    given = _resolved(row, reading)
    for argument, file in row.kind.parts.items():
        parts = [part for part in row.parts if part.kind.file == file]
        given[argument] = [part.kind.act(**_resolved(part, reading)) for part in parts]
    return given


def _resolved(row: Row, reading: Reading) -> dict[str, Any]:
    def found(name: Named) -> Any:
        return reading.by_name[name].record

    left_out = {row.kind.part_of, "key"}
    given = {name: value for name, value in row.given.items() if name not in left_out}
    columns = {name: row.kind.by_name[name] for name in given}
    return {columns[name].argument: columns[name].resolve(value, found) for name, value in given.items()}


def _done(reading: Reading, row: Row, result: Any) -> None:
    row.state, row.record = "done", result
    for part in row.parts:
        part.state = "done"
        if part.kind.made is not None:
            part.record = part.kind.made(result, _resolved(part, reading))


def _take_refusal(reading: Reading, row: Row, error: ValidationError) -> None:
    """Turn an action's refusal into a fault, or let the row wait for what caused it."""
    faulty = [other for other in reading.rows if not other.stands and not other.kind.part_of]
    for code in _codes(error):
        cause = cause_of(row, code, faulty, reading.by_name)
        if cause is not None:
            reading.wait(row, cause)
            return
    field = next(iter(error.error_dict), "") if hasattr(error, "error_dict") else ""
    at_fault, column = _where(row, field)
    reading.fault(at_fault, column, " ".join(str(message) for message in error.messages))
    if at_fault is not row:
        reading.wait(row, at_fault)


def _where(row: Row, field: str) -> tuple[Row, str]:
    """The row and column that a refused argument came from."""
    for one in [row, *(row.parts if len(row.parts) == 1 else [])]:
        for column in one.kind.columns:
            if column.argument == field:
                return one, column.name
    return row, ""


def _codes(error: ValidationError) -> list[str]:
    lists = error.error_dict.values() if hasattr(error, "error_dict") else [error.error_list]
    return [str(one.code) for errors in lists for one in errors]


def _waiting(reading: Reading) -> list[Waiting]:
    """The rows nothing is known to be wrong with, but for what they rest on."""
    for row in reading.rows:
        for part in row.parts:
            if not row.stands:
                reading.wait(part, row)
    waiting = [row for row in reading.rows if row.state in {"waiting", "read"}]
    return sorted(Waiting(f"{row.kind.file}.csv", row.line, row.rests_on) for row in waiting)
