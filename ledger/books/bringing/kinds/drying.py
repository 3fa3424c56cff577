"""Drying places, hangings, taking down and losses."""

from typing import Any

from django.utils.translation import gettext_lazy as _

from ledger.drying.actions import (
    add_place,
    hang,
    keep_oddments,
    mark_disaster,
    move_hanging,
    note_reading,
    set_damp_limit,
    set_loss_norm,
    take_down,
)
from ledger.drying.models import Hanging, Loss, Place, TakingDown
from ledger.facts.models import User
from ledger.facts.writing import refusal
from ledger.growing.models import Lot

from ..columns import Clock, Day, Key, Money, OneOf, PerCent, Ref, Tenths, Whole, Words, YesNo
from ..rows import Kind

REASONS = tuple(Loss.Reason.values)


def _taking(*, by: User, **given: Any) -> TakingDown:
    """Losses stand in a column for each reason."""
    losses = {reason: given.pop(reason) for reason in REASONS if reason in given}
    return take_down(by=by, losses={reason: stems for reason, stems in losses.items() if stems}, **given)


def _hanging(*, by: User, lot: Lot | None = None, moved_from: Hanging | None = None, **given: Any) -> Hanging:
    """Stems of a lot hung, or of a hanging moved on."""
    if (lot is None) == (moved_from is None):
        raise refusal("lot", _("Say which lot it is of, or which hanging it was moved from, not both."), code="of_one")
    if moved_from is None:
        return hang(by=by, lot=lot, **given)
    alone = sorted({"bundles", "bunch_stems", "trial"} & set(given))
    if alone:
        raise refusal(alone[0], _("What is moved stays what it was hung as: leave this empty."), code="of_the_first")
    return move_hanging(by=by, hanging=moved_from, **given)


PLACES = (
    Kind(
        "places", "loft", _("drying places"), add_place,
        (Key("key"), Words("name"), OneOf("unit", words=tuple(Place.Unit.values)), Whole("room")),
    ),
)
LOFT = (
    Kind(
        "takings", "loft", _("stems taken down, and how many of them lost for which reason"), _taking,
        (
            Ref("hanging", to="hangings"), Day("on"), Whole("stems", about=_("all that came down, lost ones too")),
            *(Whole(reason, required=False) for reason in REASONS),
            Whole("dried_g", required=False, about=_("weight of the sound stems in grams")),
        ),
    ),
    Kind(
        "hangings", "loft", _("hangings, and what was moved from one to another place"), _hanging,
        (
            Key("key"), Ref("lot", to="lots", required=False), Day("on"), Ref("place", to="places"), Whole("stems"),
            Whole("room", required=False, about=_("room taken, in the place's unit")), Whole("bundles", required=False),
            Whole("bunch_stems", required=False, about=_("stems in each, where hung as bunches")),
            YesNo("trial", required=False, about=_("unusual material, judged apart")),
            Ref("moved_from", to="hangings", required=False, about=_("the hanging they were moved from, instead of a lot")),
        ),
    ),
    Kind(
        "oddments", "loft", _("stems kept of those a hanging lost, and their scrap value"), keep_oddments,
        (Key("key"), Ref("hanging", to="hangings"), Day("on"), Whole("stems"), Money("value")),
    ),
    Kind(
        "loss_norms", "loft", _("the usual loss in drying of a variety, from a day"), set_loss_norm,
        (Ref("variety", to="varieties"), Day("on"), PerCent("share_per_cent", gives="share_bp")),
    ),
    Kind(
        "disasters", "loft", _("hangings whose loss was no usual one"), mark_disaster,
        (
            Ref("hanging", to="hangings"), Day("on"), Words("why"),
            PerCent("norm_per_cent", gives="norm_bp", required=False, about=_("the usual loss; empty: the one in force")),
        ),
    ),
    Kind(
        "readings", "loft", _("temperature and humidity read in a drying place"), note_reading,
        (
            Ref("place", to="places"), Day("on"), Clock("at", required=False),
            Tenths("temperature_c", gives="temperature_tenths_c", required=False),
            Whole("humidity_percent", required=False),
        ),
    ),
    Kind(
        "damp_limits", "loft", _("the humidity above which a place is damp again, from a day"), set_damp_limit,
        (Day("on"), Whole("humidity_percent")),
    ),
)
