"""Plots and beds, species and varieties, plantings and harvest lots."""

from datetime import date
from decimal import Decimal
from typing import Any

from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy as _

from ledger.facts.models import User
from ledger.facts.writing import refusal
from ledger.growing.actions import (
    BedPlace,
    add_bed,
    add_plot,
    add_species,
    add_variety,
    came_in_dry,
    clear,
    clear_part,
    cut,
    cut_over,
    divide,
    draw_stems,
    dump_seedlings,
    estimate_life,
    expect,
    lay_out_beds,
    note_gone_over,
    part,
    plant,
    plant_out,
    set_water_limit,
    throw_out,
    value_ways,
)
from ledger.growing.models import Bed, CutValue, Lot, Parting, Planting, Plot, Variety

from ..columns import Day, Key, Money, OneOf, PerCent, PlainDecimal, Ref, Whole, Words, Year, YesNo
from ..rows import Kind

NOT_OF_A_DIVISION = ("origin", "plants", "planned_cost")


def _bed(*, by: User, plot: Plot, name: str, area_m2: Decimal, **place: Any) -> Bed:
    """A bed, laid out where its place is given."""
    bed = add_bed(by=by, plot=plot, name=name, area_m2=area_m2)
    if not place:
        return bed
    plot.refresh_from_db()
    try:
        lay_out_beds(by=by, plot=plot, wide_m=plot.wide_m, places={bed.pk: BedPlace(**place)})
    except ValidationError as error:
        raise _without_number(error, bed) from error
    return Bed.objects.get(pk=bed.pk)


def _without_number(error: ValidationError, bed: Bed) -> ValidationError:
    """A refusal on a bed's row of the sheet as one on the columns of its file."""
    if not hasattr(error, "error_dict"):
        return error
    return ValidationError({name.removesuffix(f"_{bed.pk}"): said for name, said in error.error_dict.items()})


def _planting(*, by: User, variety: Variety, divided_from: Planting | None = None, **given: Any) -> Planting:
    """A planting begun anew, or one divided from another of its variety."""
    if divided_from is None:
        return plant(by=by, variety=variety, **given)
    if variety != divided_from.variety:
        raise refusal("variety", _("What is divided is of the same variety."), code="other_variety")
    alone = sorted({*NOT_OF_A_DIVISION} & set(given))
    if alone:
        raise refusal(alone[0], _("What is divided from another takes this from it: leave it empty."), code="of_the_mother")
    lacking = [name for name in ("bed", "area_m2", "parts", "of_parts") if name not in given]
    if lacking:
        raise refusal(lacking[0], _("What is divided needs its bed, its area, and its parts of how many."), code="not_whole")
    given.pop("perennial", None)
    return divide(by=by, planting=divided_from, **given).daughter


def _cut_value(*, by: User, lot: Lot, on: date, way: str, per_hundred: int) -> CutValue:
    value_ways(by=by, lot=lot, on=on, values={way: per_hundred})
    return lot.cut_values.standing().get(way=way)


def _parting(*, by: User, lot: Lot, on: date, way: str, stems: int, why: str = "") -> Parting:
    if way == Parting.Way.THROWN_OUT:
        return throw_out(by=by, lot=lot, on=on, stems=stems, why=why)
    if way == Parting.Way.DRAWN:
        return draw_stems(by=by, lot=lot, on=on, stems=stems, why=why)
    if way == Parting.Way.CUT_DRY and not why:
        return came_in_dry(by=by, lot=lot, on=on, stems=stems)
    return part(by=by, lot=lot, on=on, way=way, stems=stems, why=why)


GROUND = (
    Kind(
        "plots", "field", _("plots"), add_plot,
        (
            Key("key"), Words("name"), OneOf("kind", words=tuple(Plot.Kind.values)), PlainDecimal("area_m2"),
            PlainDecimal("wide_m", required=False, about=_("its width, for the plan of its beds")),
        ),
    ),
    Kind(
        "beds", "field", _("beds, and where they lie"), _bed,
        (
            Key("key"), Ref("plot", to="plots"), Words("name"), PlainDecimal("area_m2"),
            PlainDecimal("left_m", required=False, about=_("from the left, seen from the plot's front")),
            PlainDecimal("front_m", required=False, about=_("from the front")), PlainDecimal("long_m", required=False),
            YesNo("across", required=False, about=_("yes: it runs across the plot")),
        ),
    ),
    Kind(
        "species", "field", _("species"), add_species,
        (
            Key("key"), Words("name"), Words("botanical", required=False),
            Words("caution", required=False, about=_("if poisonous or irritant")),
            Whole("stems_per_m2", required=False), Whole("days_to_dry", required=False),
            PerCent("fresh_water_per_cent", gives="fresh_moisture_bp", required=False, about=_("of its weight")),
            PerCent("dry_water_per_cent", gives="dry_moisture_bp", required=False, about=_("of its weight")),
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
        (
            Ref("planting", to="plantings"), Day("on"), Words("why", required=False),
            YesNo("failed", required=False, about=_("yes: nothing was cut of it")),
        ),
    ),
    Kind(
        "part_clearings", "field", _("part of a bed that a planting gave up"), clear_part,
        (
            Ref("planting", to="plantings"), Day("on"), Ref("bed", to="beds"), PlainDecimal("area_m2"),
            Words("why", required=False),
        ),
    ),
    Kind(
        "plantings", "field", _("plantings, in a bed, without one, or divided from another"), _planting,
        (
            Key("key"), Day("on"), Ref("variety", to="varieties"), Ref("bed", to="beds", required=False),
            PlainDecimal("area_m2", required=False),
            Year("season", about=_("in which it is cut; of a perennial, its first")), YesNo("perennial", required=False),
            Whole("productive_seasons", required=False), Whole("expected_stems", required=False),
            Money("planned_cost", required=False), OneOf("origin", words=tuple(Planting.Origin.values), required=False),
            Whole("plants", required=False, about=_("raised, where counted")),
            Ref("divided_from", to="plantings", required=False, about=_("so many of its parts, of how many, went into this one")),
            Whole("parts", required=False), Whole("of_parts", required=False),
        ),
    ),
    Kind(
        "planted_out", "field", _("plants set out in a bed"), plant_out,
        (
            Ref("planting", to="plantings"), Day("on"), Ref("bed", to="beds"), PlainDecimal("area_m2"),
            Whole("plants", required=False), Whole("expected_stems", required=False),
        ),
    ),
    Kind(
        "seedlings_dumped", "field", _("spare plants thrown away"), dump_seedlings,
        (Ref("planting", to="plantings"), Day("on"), Whole("plants"), Words("why", required=False)),
    ),
    Kind(
        "expectations", "field", _("what a planting is expected to give and cost, as of a day"), expect,
        (
            Ref("planting", to="plantings"), Day("on"), Year("season"), Whole("stems"),
            Money("planned_cost", required=False),
        ),
    ),
    Kind(
        "cuttings_over", "field", _("perennials cut over"), cut_over,
        (Ref("planting", to="plantings"), Day("on"), Words("note", required=False)),
    ),
    Kind(
        "lives", "field", _("productive seasons now expected of a perennial in all"), estimate_life,
        (Ref("planting", to="plantings"), Day("on"), Whole("productive_seasons"), Words("why", required=False)),
    ),
    Kind(
        "lots", "field", _("harvest lots, counted in stems or in bundles, or weighed"), cut,
        (
            Key("key"), Ref("planting", to="plantings"), Day("on"), OneOf("stage", words=tuple(Lot.Stage.values)),
            Whole("stems", required=False), Whole("bundles", required=False), Whole("per_bundle", required=False),
            YesNo("about", required=False, about=_("yes: not counted to the stem")),
            Whole("fresh_g", required=False), Whole("sample_stems", required=False), Whole("sample_g", required=False),
            YesNo("dry", required=False, about=_("yes: it needs no hanging")),
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
        "cut_values", "money", _("what a hundred stems of a lot are worth one way, net, less what they still cost"), _cut_value,
        (Ref("lot", to="lots"), Day("on"), OneOf("way", words=CutValue.WAYS), Money("per_hundred")),
    ),
    Kind(
        "water_limits", "field", _("days in water that are too long, from a day"), set_water_limit,
        (Day("on"), Whole("days")),
    ),
    Kind(
        "gone_over", "field", _("stems spoiled in the bed uncut, about so many"), note_gone_over,
        (Ref("planting", to="plantings"), Day("on"), Whole("stems"), Words("why", required=False)),
    ),
)
