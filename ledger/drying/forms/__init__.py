"""The forms of drying: few fields, for one hand in a loft."""

from .hangings import DisasterForm, HangForm, MoveForm, OddmentsForm, TakeDownForm, TrialForm
from .losing import LosingForm
from .places import DampLimitForm, LossNormForm, PlaceForm, ReadingForm, RenamePlaceForm
from .rounds import TakeDownRoundForm

__all__ = [
    "DampLimitForm",
    "DisasterForm",
    "HangForm",
    "LosingForm",
    "LossNormForm",
    "MoveForm",
    "OddmentsForm",
    "PlaceForm",
    "ReadingForm",
    "RenamePlaceForm",
    "TakeDownForm",
    "TakeDownRoundForm",
    "TrialForm",
]
