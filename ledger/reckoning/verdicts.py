"""Whether a crop paid for its bed and for the work in it. Any one unit of money throughout."""

from dataclasses import dataclass
from enum import Enum

WHOLE_BP = 10_000


class Paid(Enum):
    """What a crop's income covered."""

    BED_AND_WORK = "bed_and_work"
    WORK = "work"
    NEITHER = "neither"
    UNSAID = "unsaid"


@dataclass(frozen=True)
class Account:
    """What a crop brought in and cost; `space` is the bed and drying room within `cost`.

    `unsold` stands at cost, `fetches` is what it is likely to bring beyond what
    was sold.
    """

    income: int
    cost: int
    space: int = 0
    unsold: int = 0
    fetches: int = 0

    @property
    def earned(self) -> int:
        """What it brought in less all it cost."""
        return self.income - self.cost

    @property
    def contribution(self) -> int:
        """What it brought in less all but bed and drying room."""
        return self.earned + self.space

    @property
    def unsold_bp(self) -> int:
        """The part of its cost that is not sold yet, in basis points, rounded down; none where it cost nothing."""
        return self.unsold * WHOLE_BP // self.cost if self.cost else 0


def paid(account: Account | None) -> Paid:
    """Return what a crop's income covered; UNSAID where a figure is missing (None), which is never taken as zero.

    >>> paid(Account(income=100, cost=100, space=30)).value, paid(Account(income=70, cost=100, space=30)).value
    ('bed_and_work', 'work')
    >>> paid(Account(income=69, cost=100, space=30)).value, paid(None).value
    ('neither', 'unsaid')
    """
    if account is None:
        return Paid.UNSAID
    if account.earned >= 0:
        return Paid.BED_AND_WORK
    return Paid.WORK if account.contribution >= 0 else Paid.NEITHER


def paid_once_sold(account: Account) -> Paid:
    """Return what it would cover if what is unsold fetches what is likely.

    >>> paid_once_sold(Account(income=60, cost=100, space=30, unsold=40, fetches=40)).value
    'bed_and_work'
    """
    return paid(Account(account.income + account.fetches, account.cost, account.space))
