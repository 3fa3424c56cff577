"""What came of bringing a folder in, as rows to print."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict
from typing import Any

from django.utils.translation import gettext as _

from .kinds import KINDS
from .rows import NotBroughtIn


def as_json(result: Any) -> dict[str, Any]:
    """Everything that was brought in, or everything that is wrong."""
    if isinstance(result, NotBroughtIn):
        return {
            "ok": False,
            "faults": [asdict(fault) for fault in result.faults],
            "waiting": [asdict(row) for row in result.waiting],
        }
    return {"ok": True, "rows": dict(result.rows)}


def as_lines(result: Any) -> list[str]:
    """The same as plain lines, the columns under one another."""
    if isinstance(result, NotBroughtIn):
        faults = [(one.file, str(one.line or ""), one.column, one.reason) for one in result.faults]
        waiting = [(one.file, str(one.line), "", _("waits for %(row)s") % {"row": one.rests_on}) for one in result.waiting]
        return columns_of([*faults, *waiting])
    rows = [(file, str(number)) for file, number in result.rows.items()]
    return columns_of([*rows, ("", str(sum(result.rows.values())))])


def described() -> list[str]:
    """Every file with its columns, those that may be empty in brackets."""
    rows = []
    for kind in KINDS.values():
        names = [column.name if column.required else f"({column.name})" for column in kind.columns]
        rows.append((f"{kind.file}.csv", ", ".join(names)))
    return columns_of(rows)


def columns_of(rows: Sequence[tuple[str, ...]]) -> list[str]:
    """Lines in which each column is as wide as its longest cell."""
    widths = [max(len(cell) for cell in column) for column in zip(*rows, strict=True)]
    return ["  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)).rstrip() for row in rows]
