"""Time, money and materials spent, and what each was spent on."""

from .materials import Material, MaterialCount, MaterialUse
from .money import Purchase, PurchaseLine, PurchaseShare, YearOfSpace
from .work import Clock, ClockThing, Pay, WorkEntry, Worker, WorkerRate, WorkShare

__all__ = [
    "Clock",
    "ClockThing",
    "Material",
    "MaterialCount",
    "MaterialUse",
    "Pay",
    "Purchase",
    "PurchaseLine",
    "PurchaseShare",
    "WorkEntry",
    "WorkShare",
    "Worker",
    "WorkerRate",
    "YearOfSpace",
]
