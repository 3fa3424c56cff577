"""What stock of one bunch line is worth on a day, by four methods.

A method is a whole run of the line's movements: draws for made-up goods and
jobs take their cost as sales do, and hand it on (`value_all`). Taking the newest first is not offered.
"""

from ledger.reckoning.valuation.chain import Making, value_all
from ledger.reckoning.valuation.movements import ISSUES, RECEIPTS, StockMovement
from ledger.reckoning.valuation.replay import METHODS, Valuation, value

__all__ = ["ISSUES", "METHODS", "RECEIPTS", "Making", "StockMovement", "Valuation", "value", "value_all"]
