"""What drying records."""

from .hangings import Hanging, Loss, Oddments, TakingDown
from .losses import Disaster, LossNorm
from .places import COLDEST, HOTTEST, DampLimit, Place, Reading

__all__ = [
    "COLDEST",
    "HOTTEST",
    "DampLimit",
    "Disaster",
    "Hanging",
    "Loss",
    "LossNorm",
    "Oddments",
    "Place",
    "Reading",
    "TakingDown",
]
