"""What is recorded about the holding, its people, its days and its verbs."""

from .costs import CostKind, CostObject
from .door import DoorLink
from .fact import Fact, FactQuerySet, label_of
from .holding import STOCK_METHODS, Holding, TaxRate, TaxStatus
from .people import ROLE_MAY, User
from .writing import Amendment, FormKey, LedgerState

__all__ = [
    "ROLE_MAY",
    "STOCK_METHODS",
    "Amendment",
    "CostKind",
    "CostObject",
    "DoorLink",
    "Fact",
    "FactQuerySet",
    "FormKey",
    "Holding",
    "LedgerState",
    "TaxRate",
    "TaxStatus",
    "User",
    "label_of",
]
