"""What selling one unit by one way costs: fees on takings, and its share of a day's or a parcel's cost.

Shares in basis points, amounts in any one unit; halves up.
"""

from dataclasses import dataclass

from ledger.reckoning.price import WHOLE_BP, fixed_per_unit
from ledger.reckoning.taking import proportion

DAYS_OF_A_YEAR = 365
MINUTES_OF_AN_HOUR = 60


@dataclass(frozen=True)
class SellingCosts:
    """The costs of one way: `fee_bp` of takings with tax, and `shared` fixed costs, each with the usual takings it is shared on.

    Raises ValueError for a fixed cost without takings to share it on.
    """

    fee_bp: int = 0
    shared: tuple[tuple[int, int], ...] = ()

    def __post_init__(self) -> None:
        if any(fixed and usual <= 0 for fixed, usual in self.shared):
            raise ValueError("a fixed cost needs usual takings to be shared on")

    def fees(self, gross: int) -> int:
        """Return the fees on a price with tax, in its unit."""
        return proportion(gross, self.fee_bp, WHOLE_BP)

    def fixed(self, gross: int) -> int:
        """Return the share of fixed costs a price with tax bears, by sales value, in its unit."""
        return sum(fixed_per_unit(gross, fixed_day=fixed, usual_takings=usual) for fixed, usual in self.shared if fixed)

    @property
    def share_bp(self) -> int:
        """The share of takings with tax that fees and fixed costs take, up to the next hundredth of a per cent.

        Fixed costs are shared by sales value, so each takes the same share of every price.
        """
        return self.fee_bp + sum(-(-fixed * WHOLE_BP // usual) for fixed, usual in self.shared if fixed)

    def all(self, gross: int) -> int:
        """Return fees and fixed share together."""
        return self.fees(gross) + self.fixed(gross)


def fee_on_takings(
    card_bp: int, *, card_share_bp: int = WHOLE_BP, pitch_bp: int = 0, bad_debt_bp: int = 0, interest_bp: int = 0, days: int = 0
) -> int:
    """Return all that goes off takings with tax, to a hundredth of a per cent.

    The card fee counts on the share of takings it is paid on; waiting `days`
    for the money costs interest of a year of 365 days, simple.

    >>> fee_on_takings(175, card_share_bp=6000, pitch_bp=1000), fee_on_takings(0, bad_debt_bp=100, interest_bp=800, days=30)
    (1105, 166)
    """
    card = proportion(card_bp, card_share_bp, WHOLE_BP)
    return card + pitch_bp + bad_debt_bp + proportion(interest_bp, days, DAYS_OF_A_YEAR)


def hours_cost(minutes: int, hour: int) -> int:
    """Return what so many minutes cost at a cost of an hour, in its unit, halves up."""
    return proportion(hour, minutes, MINUTES_OF_AN_HOUR)
