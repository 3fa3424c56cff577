"""Plots and beds, species and varieties, plantings and harvest lots."""

from datetime import date

from django.utils.translation import gettext_lazy as _

from ledger.facts.models import User
from ledger.growing.actions import (
    add_bed,
    add_plot,
    add_species,
    add_variety,
    clear,
    cut,
    draw_stems,
    expect,
    note_gone_over,
    part,
    plant,
    throw_out,
)
from ledger.growing.models import Lot, Parting, Plot

from ..columns import Day, Key, Money, OneOf, PlainDecimal, Ref, Whole, Words, Year, YesNo
from ..rows import Kind


def _parting(*, by: User, lot: Lot, on: date, way: str, stems: int, why: str = "") -> Parting:
    if way == Parting.Way.THROWN_OUT:
        return throw_out(by=by, lot=lot, on=on, stems=stems, why=why)
    if way == Parting.Way.DRAWN:
        return draw_stems(by=by, lot=lot, on=on, stems=stems, why=why)
    return part(by=by, lot=lot, on=on, way=way, stems=stems, why=why)


GROUND = (
    Kind(
        "plots", "field", _("plots"), add_plot,
        (Key("key"), Words("name"), OneOf("kind", words=tuple(Plot.Kind.values)), PlainDecimal("area_m2")),
    ),
    Kind(
        "beds", "field", _("beds"), add_bed,
        (Key("key"), Ref("plot", to="plots"), Words("name"), PlainDecimal("area_m2")),
    ),
    Kind(
        "species", "field", _("species"), add_species,
        (
            Key("key"), Words("name"), Words("botanical", required=False),
            Words("caution", required=False, about=_("if poisonous or irritant")),
            Whole("stems_per_m2", required=False), Whole("days_to_dry", required=False),
        ),
    ),
    Kind(
        "varieties", "field", _("varieties"), add_variety,
        (Key("key"), Ref("species", to="species"), Words("name"), Words("colour", required=False)),
    ),
)
SEASON = (
    Kind(
        "clearings", "field", _("plantings cleared"), clear,
        (Ref("planting", to="plantings"), Day("on"), Words("why", required=False)),
    ),
    Kind(
        "plantings", "field", _("plantings"), plant,
        (
            Key("key"), Day("on"), Ref("variety", to="varieties"), Ref("bed", to="beds"), PlainDecimal("area_m2"),
            Year("season", about=_("in which it is cut; of a perennial, its first")), YesNo("perennial", required=False),
            Whole("productive_seasons", required=False), Whole("expected_stems", required=False),
            Money("planned_cost", required=False),
        ),
    ),
    Kind(
        "expectations", "field", _("what a planting is expected to give and cost, as of a day"), expect,
        (
            Ref("planting", to="plantings"), Day("on"), Year("season"), Whole("stems"),
            Money("planned_cost", required=False),
        ),
    ),
    Kind(
        "lots", "field", _("harvest lots, counted in stems or in bundles"), cut,
        (
            Key("key"), Ref("planting", to="plantings"), Day("on"), OneOf("stage", words=tuple(Lot.Stage.values)),
            Whole("stems", required=False), Whole("bundles", required=False), Whole("per_bundle", required=False),
            YesNo("about", required=False, about=_("yes: not counted to the stem")),
        ),
    ),
    Kind(
        "partings", "field", _("stems that left a lot otherwise than hung or sold"), _parting,
        (
            Ref("lot", to="lots"), Day("on"), OneOf("way", words=("cut_dry", "drawn", "thrown_out")), Whole("stems"),
            Words("why", required=False),
        ),
    ),
    Kind(
        "gone_over", "field", _("stems spoiled in the bed uncut, about so many"), note_gone_over,
        (Ref("planting", to="plantings"), Day("on"), Whole("stems"), Words("why", required=False)),
    ),
)
