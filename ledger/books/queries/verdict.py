"""Which species paid for its bed and its work, why, and how sure that is."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from ledger.reckoning.verdicts import Account, Paid, paid, paid_once_sold

from .earning import Earned
from .groups import Group, grouped


@dataclass(frozen=True)
class Verdict:
    """One species judged: by what it sold, and what it would be if the unsold fetches what is likely.

    `account` is None where nothing can be said. `left_out`: plantings' seasons
    of which a figure is missing; the judgement rests on the others. `few`: too
    few stems to judge by.
    """

    of: Group
    account: Account | None
    few: bool
    left_out: int

    @property
    def paid(self) -> Paid:
        """What its income covered."""
        return Paid.UNSAID if self.few else paid(self.account)

    @property
    def once_sold(self) -> Paid:
        """What it would cover with the unsold sold at its likely price."""
        return paid_once_sold(self.account) if self.account and not self.few else Paid.UNSAID


def verdicts(rows: Sequence[Earned], least_stems: int | None) -> list[Verdict]:
    """Every species of the rows judged, in the order of its name."""
    return sorted((_judged(group, least_stems) for group in grouped(rows, "species")), key=lambda one: one.of.name)


def _judged(group: Group, least_stems: int | None) -> Verdict:
    said = group.said
    account = Account(said.income, said.cost, said.space, said.unsold, said.fetches) if group.can_say else None
    few = least_stems is not None and group.most_stems < least_stems
    return Verdict(group, account, few, len(group.parts) - len(group.can_say))
