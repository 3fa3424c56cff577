"""The forms of stock: few fields, for one hand beside a shelf."""

from .boxes import BoxForm, CountForm, FindBoxForm, MoveForm, NewBoxForm, TakeOutForm
from .bunching import RunForm
from .lines import BunchesForm, HoldForm, LineForm

__all__ = [
    "BoxForm", "BunchesForm", "CountForm", "FindBoxForm", "HoldForm", "LineForm", "MoveForm", "NewBoxForm", "RunForm",
    "TakeOutForm",
]
