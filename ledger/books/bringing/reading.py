"""Reading the files: every cell, every key, and every name a row rests on."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import Any

from django.utils.translation import gettext_lazy as _

from ledger.facts.models import CostKind, Holding
from ledger.facts.queries import holding
from ledger.reckoning.currency import minor_digits

from .columns import BadCell, Named, Setting
from .files import Files
from .kinds import KINDS
from .rows import Fault, Kind, Row


@dataclass
class Reading:
    """All rows of a folder as read, and the faults found so far."""

    rows: list[Row] = field(default_factory=list)
    faults: list[Fault] = field(default_factory=list)
    by_name: dict[Named, Row] = field(default_factory=dict)
    holding_found: bool = False

    def holding_is_there(self) -> bool:
        """Whether the ledger has its holding, before these rows or by one of them."""
        self.holding_found = self.holding_found or Holding.objects.exists()
        return self.holding_found

    def fault(self, row: Row, column: str, reason: Any) -> None:
        """Report a faulty row, once."""
        if row.state != "faulty":
            row.state = "faulty"
            self.faults.append(Fault(f"{row.kind.file}.csv", row.line, column, str(reason)))

    def wait(self, row: Row, on: Row) -> None:
        """Let a row wait for a faulty one."""
        if row.stands:
            row.state, row.rests_on = "waiting", str(on)


def read_all(files: Files, shift: int = 0) -> Reading:
    """Read every file in the order of the path, then tie the rows together."""
    reading = Reading()
    for name in sorted(set(files) - {f"{file}.csv" for file in KINDS}):
        reading.faults.append(Fault(name, 0, "", str(_("No kind of record has a file of this name."))))
    costs = {kind.code: kind for kind in CostKind.objects.all()}
    setting = Setting(digits=_digits(files), shift=shift, costs=costs)
    for kind in KINDS.values():
        if f"{kind.file}.csv" in files:
            _read_file(reading, kind, files[f"{kind.file}.csv"], setting)
    _tie_names(reading)
    _tie_parts(reading)
    return reading


def last_day(files: Files) -> date | None:
    """The last day on which anything happened; a day a bill runs to or an order is wanted on is none."""
    return max((row.on for row in read_all(files).rows if row.on), default=None)


def _digits(files: Files) -> int:
    """Decimals of the holding's currency, or of the one about to be brought in."""
    if Holding.objects.exists():
        return minor_digits(holding().currency)
    try:
        first = next(csv.DictReader(io.StringIO(files.get("holding.csv", b"").decode("utf-8-sig"))))
        return minor_digits(first.get("currency") or "")
    except (StopIteration, ValueError, csv.Error):
        return 2


def _read_file(reading: Reading, kind: Kind, content: bytes, setting: Setting) -> None:
    try:
        text = content.decode("utf-8-sig")
        lines = list(_lines(text))
    except (UnicodeDecodeError, csv.Error) as error:
        why = _("It cannot be read as a CSV in UTF-8: %(error)s") % {"error": error}
        reading.faults.append(Fault(f"{kind.file}.csv", 0, "", str(why)))
        return
    heads = [head.strip() for head in lines[0][1]] if lines else []
    header = Row(kind, 1)
    _check_heads(reading, header, heads)
    for line, cells in lines[1:]:
        row = Row(kind, line)
        reading.rows.append(row)
        _read_row(reading, row, heads, cells, setting)
        if not header.stands:
            reading.wait(row, header)
        elif any(cell.strip() for cell in cells[len(heads):]):
            reading.fault(row, "", _("The row has more cells than there are columns."))


def _lines(text: str) -> Iterator[tuple[int, list[str]]]:
    """Each record that is not blank with the line it begins on."""
    reader = csv.reader(io.StringIO(text, newline=""), strict=True)
    begins = 1
    for cells in reader:
        if any(cell.strip() for cell in cells):
            yield begins, cells
        begins = reader.line_num + 1


def _check_heads(reading: Reading, header: Row, heads: list[str]) -> None:
    known = header.kind.by_name
    for name in heads:
        if name not in known or heads.count(name) > 1:
            why = _("No such column here; there are: %(known)s.") if name not in known else _("This column is there twice.")
            reading.fault(header, name, why % {"known": ", ".join(known)})
            return
    for column in header.kind.columns:
        if column.required and column.name not in heads:
            reading.fault(header, column.name, _("This column is missing."))
            return


def _read_row(reading: Reading, row: Row, heads: list[str], cells: list[str], setting: Setting) -> None:
    for name, cell in zip(heads, cells, strict=False):
        if name in row.kind.by_name and cell.strip():
            _read_cell(reading, row, name, cell.strip(), setting)
    for column in row.kind.columns:
        if column.required and column.name in heads and column.name not in row.given:
            reading.fault(row, column.name, _("This cell is empty."))
    if row.key:
        _keep_key(reading, row)


def _read_cell(reading: Reading, row: Row, name: str, text: str, setting: Setting) -> None:
    try:
        if "\0" in text:
            raise BadCell(_("There is a character in it that cannot be kept."))
        row.given[name] = row.kind.by_name[name].read(text, setting)
    except BadCell as error:
        reading.fault(row, name, error.reason)


def _keep_key(reading: Reading, row: Row) -> None:
    earlier = reading.by_name.setdefault(Named(row.kind.file, row.key), row)
    if earlier is not row:
        reading.fault(row, "key", _("Line %(line)d has this key already.") % {"line": earlier.line})


def _tie_names(reading: Reading) -> None:
    """Report every name that no row carries."""
    for row in reading.rows:
        for column, value in row.given.items():
            for name in row.kind.by_name[column].names(value):
                if name not in reading.by_name:
                    why = _("%(file)s.csv has no row with the key “%(key)s”.")
                    reading.fault(row, column, why % {"file": name.file, "key": name.key})


def _tie_parts(reading: Reading) -> None:
    """Give every head its parts; a head waits for a faulty part, its other parts for the head."""
    for row in reading.rows:
        head = _head_of(row, reading.by_name)
        if head is not None:
            head.parts.append(row)
            if not row.stands:
                reading.wait(head, row)


def _head_of(row: Row, by_name: Mapping[Named, Row]) -> Row | None:
    name = row.given.get(row.kind.part_of) if row.kind.part_of else None
    return by_name.get(name) if name is not None else None
