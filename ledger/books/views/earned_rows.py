"""The rows of the bed-earnings page in whole minor units that add up to their totals."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any
from urllib.parse import urlencode

from django.utils.translation import gettext_lazy as _
from django.utils.translation import ngettext

from ledger.reckoning.sharing import printed, to_minor

from ..queries.bridge import Bridge
from ..queries.groups import Group
from ..queries.report import Report
from ..queries.traced import INCOME_KINDS
from .earned_words import STEPS, WHY_NOT, place_words

COLUMNS = ("income", "cost", "contribution", "unsold", "fetches", "unpriced")


@dataclass(frozen=True)
class EarnedRow:
    """One group as shown: whole minor units that add up along the row and down the column."""

    of: Group
    kinds: Sequence[int]
    income: int
    cost: int
    contribution: int
    unsold: int
    fetches: int
    unpriced: int
    per_m2: int | None
    per_m2_week: int | None
    per_hour: int | None
    under: str
    url: str

    @property
    def earned(self) -> int:
        return self.income - self.cost

    @property
    def hours(self) -> str:
        return f"{self.of.figures.minutes / 60:.1f}"

    @property
    def figure_url(self) -> str:
        return self.of.figure_url


@dataclass(frozen=True)
class BridgeRow:
    """One row of a bridge as shown."""

    label: Any
    amount: int
    total: bool = False


def rows_of(found: Report) -> list[EarnedRow]:
    """Every group's row; each column is rounded so that it adds up to its own total."""
    columns = {name: printed([getattr(group.figures, name) for group in found.groups]) for name in COLUMNS}
    return [
        _row(found, group, {name: column[place] for name, column in columns.items()})
        for place, group in enumerate(found.groups)
    ]


def _row(found: Report, group: Group, whole: dict[str, int]) -> EarnedRow:
    figures = group.figures
    return EarnedRow(
        of=group, kinds=printed([figures.income_of.get(kind, 0) for kind in INCOME_KINDS], whole["income"]),
        income=whole["income"], cost=whole["cost"], contribution=whole["contribution"], unsold=whole["unsold"],
        fetches=whole["fetches"], unpriced=whole["unpriced"], per_m2=_minor(group.per_m2),
        per_m2_week=_minor(figures.per_m2_week), per_hour=_minor(figures.per_hour), under=_under(found, group),
        url=_leads_to(found, group),
    )


def _minor(amount: int | None) -> int | None:
    return None if amount is None else to_minor(amount)


def _under(found: Report, group: Group) -> str:
    """How much ground for how long, how many plantings, and how far its figures can be relied on."""
    first, about = group.parts[0].of, {"m2": _area(group)}
    if found.by == "planting":
        about |= {"bed": first.planting.where, "season": ", ".join(str(part.of.season) for part in group.parts)}
        weeks = sum(part.of.weeks for part in group.parts)
        said = _("%(bed)s, season %(season)s: %(m2)s, %(weeks)s weeks") % {**about, "weeks": weeks}
    else:
        number = group.gathers
        said = ngettext("%(n)d planting: %(m2)s", "%(n)d plantings: %(m2)s", number) % {**about, "n": number}
    if group.missing:
        return f"{said}; {WHY_NOT[group.missing]}"
    return str(said) if group.final else f"{said}; {_('provisional')}"


def _area(group: Group) -> str:
    """What "a m2" divides by, and whether that is ground, or what was planted once or season after season."""
    area = {"m2": f"{group.area / 100:.2f}"}
    if group.ground is not None:
        return (_("%(m2)s m2 of bed") if group.key[0] == "bed" else _("%(m2)s m2 of beds")) % area
    seasons = len({part.of.season for part in group.parts})
    return (_("%(m2)s m2 planted, all seasons") if seasons > 1 else _("%(m2)s m2 planted")) % area


def _leads_to(found: Report, group: Group) -> str:
    """A planting's own page; of what is gathered, the plantings within it."""
    if found.by == "planting" or not group.key[1]:
        return group.url
    return "?" + urlencode({"season": found.first, "until": found.last, "within": f"{group.key[0]}:{group.key[1]}"})


def totals_of(rows: Sequence[EarnedRow]) -> dict[str, Any]:
    """Every column's total."""
    total: dict[str, Any] = {name: sum(getattr(row, name) for row in rows) for name in (*COLUMNS, "earned")}
    total["kinds"] = [sum(row.kinds[place] for row in rows) for place in range(len(INCOME_KINDS))]
    total["stems"] = sum(row.of.figures.stems for row in rows)
    total["hours"] = f"{sum(row.of.figures.minutes for row in rows) / 60:.1f}"
    return total


def bridge_rows(found: Bridge, start: Any, end: Any) -> list[BridgeRow]:
    """A bridge from its first row to its last, rounded so that it adds up; rows of nil left out, what is unexplained never."""
    steps = [step for step in found.steps if step.amount]
    first, last = to_minor(found.start), to_minor(found.end - found.unexplained)
    amounts = printed([step.amount for step in steps], last - first)
    labels = [STEPS.get(step.what) or place_words(step.what) for step in steps]
    rows = [BridgeRow(label, amount) for label, amount in zip(labels, amounts, strict=True)]
    begins = [BridgeRow(start, first, total=True)] if start else []
    unexplained = BridgeRow(_("Left unexplained"), to_minor(found.end) - last)
    return [*begins, *rows, unexplained, BridgeRow(end, to_minor(found.end), total=True)]
