"""The forms of stock: few fields, for one hand beside a shelf."""

from .boxes import (
    BoxForm,
    CountForm,
    DrawForm,
    FindBoxForm,
    HoldBackForm,
    MoveForm,
    NewBoxForm,
    PutTogetherForm,
    ShelfRoomForm,
    SplitBoxForm,
    TakeBackForm,
    TakeOutForm,
)
from .bunching import RunForm, field_from
from .labels import LabelsForm
from .lines import BunchesForm, HoldForm, KeepsForForm, LineForm
from .making_up import BringDownForm, BuyInForm, MakeUpForm, RecipeFor, RecipeForm, ReworkForm
from .rows import key_of
from .takes import BeginTakeForm, CountInTakeForm, EndTakeForm, shelves

__all__ = [
    "BeginTakeForm", "BoxForm", "BringDownForm", "BunchesForm", "BuyInForm", "CountForm", "CountInTakeForm", "DrawForm",
    "EndTakeForm", "FindBoxForm", "HoldBackForm", "HoldForm", "KeepsForForm", "LabelsForm", "LineForm", "MakeUpForm", "MoveForm",
    "NewBoxForm", "PutTogetherForm", "RecipeFor", "RecipeForm", "ReworkForm", "RunForm", "ShelfRoomForm", "SplitBoxForm",
    "TakeBackForm", "TakeOutForm", "field_from", "key_of", "shelves",
]
