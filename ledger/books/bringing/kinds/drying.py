"""Drying places, hangings, taking down and losses."""

from typing import Any

from django.utils.translation import gettext_lazy as _

from ledger.drying.actions import (
    add_place,
    hang,
    mark_disaster,
    note_reading,
    set_damp_limit,
    set_loss_norm,
    take_down,
)
from ledger.drying.models import Loss, Place, TakingDown
from ledger.facts.models import User

from ..columns import Clock, Day, Key, OneOf, PerCent, Ref, Tenths, Whole, Words
from ..rows import Kind

REASONS = tuple(Loss.Reason.values)


def _taking(*, by: User, **given: Any) -> TakingDown:
    """Losses stand in a column for each reason."""
    losses = {reason: given.pop(reason) for reason in REASONS if reason in given}
    return take_down(by=by, losses={reason: stems for reason, stems in losses.items() if stems}, **given)


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
        "hangings", "loft", _("hangings"), hang,
        (
            Key("key"), Ref("lot", to="lots"), Day("on"), Ref("place", to="places"), Whole("stems"),
            Whole("room", required=False, about=_("room taken, in the place's unit")), Whole("bundles", required=False),
        ),
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
