"""Recipes, and runs of every kind: what went in, what came out."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import date
from typing import Any

from django.utils.translation import gettext_lazy as _

from ledger.daybook.models import Material
from ledger.drying.models import Hanging, Oddments
from ledger.facts.models import CostKind, User
from ledger.facts.writing import refusal
from ledger.growing.models import Lot, Parting, Variety
from ledger.stock.actions import Output, buy_in, make_run, make_up, rework, set_recipe
from ledger.stock.models import Batch, Box, Line, Run
from ledger.stock.queries import lowest_loose

from ..columns import Day, Key, KindOfCost, Money, OneOf, Ref, Whole, Words
from ..rows import Kind

Stems = tuple[str, Any, int]


def _input(
    *, stems: int, hanging: Hanging | None = None, dry_lot: Lot | None = None, fresh_lot: Lot | None = None,
    oddments: Oddments | None = None,
) -> Stems:
    named = {"hanging": hanging, "dry_lot": dry_lot, "fresh_lot": fresh_lot, "oddments": oddments}
    given = [(kind, thing) for kind, thing in named.items() if thing is not None]
    if len(given) != 1:
        raise refusal("hanging", _("Say where the stems came from, once: a hanging, a lot or oddments."), code="of_one")
    return (*given[0], stems)


def _bunches(*, batch: Batch, bunches: int, box: Box | None = None) -> tuple[Batch, Box | None, int]:
    return batch, box, bunches


def _material(*, material: Material, quantity: int) -> tuple[Material, int]:
    return material, quantity


def _output(**given: Any) -> Output:
    return Output(**given)


def _batch_of(run: Run, given: dict[str, Any]) -> Batch:
    return run.batches.get(line=given["line"])


def _run(
    *, by: User, on: date, inputs: Sequence[Stems], outputs: Sequence[Output], kind: str = Run.Kind.BUNCHING, **given: Any
) -> Run:
    """One run, by the verb of its kind."""
    given["stems"] = [(_source(name, thing, stems), stems) for name, thing, stems in inputs if name != "fresh_lot"]
    given["fresh"] = [(lot, stems) for name, lot, stems in inputs if name == "fresh_lot"]
    verb, takes = VERBS[kind]
    alone = sorted(name for name, value in given.items() if value and name not in takes)
    if alone:
        raise refusal("kind", _("A run of this kind has no such column or part: %(what)s."), code="not_of_kind",
                      what=", ".join(alone))
    said = {takes[name]: value for name, value in given.items() if name in takes}
    return verb(by=by, on=on, outputs=outputs, **said)


def _buy_in(*, supplier: str = "", net: int | None = None, cost_kind: CostKind | None = None, tax: int = 0, **given: Any) -> Run:
    if not supplier or net is None or cost_kind is None:
        raise refusal("supplier", _("What is bought in needs supplier, net and kind of cost."), code="half_a_purchase")
    return buy_in(supplier=supplier, net=net, tax=tax, kind=cost_kind, **given)


# By the kind of a run: its verb, and the verb's arguments by what the files call them.
VERBS: dict[str, tuple[Callable[..., Run], dict[str, str]]] = {
    "bunching": (make_run, {"stems": "inputs", "lost": "lost", "note": "note"}),
    "rework": (rework, {name: name for name in ("bunches", "stems", "materials", "lost", "note")}),
    "making_up": (make_up, {name: name for name in ("bunches", "stems", "fresh", "materials", "note")}),
    "bought_in": (_buy_in, {name: name for name in ("supplier", "reference", "net", "tax", "cost_kind", "note")}),
}


def _source(name: str, thing: Any, stems: int) -> Hanging | Parting | Oddments:
    """Where loose stems came from; of a lot cut dry the first parting with so many left."""
    if name != "dry_lot":
        return thing
    dry = list(thing.partings.standing().filter(way=Parting.Way.CUT_DRY).order_by("on", "pk"))
    if not dry:
        raise refusal("inputs", _("Nothing of %(lot)s was cut dry."), code="not_cut_dry", lot=thing)
    return next((one for one in dry if lowest_loose(one, date.max) >= stems), dry[0])


def _recipe_part(
    *, quantity: int, of_line: Line | None = None, variety: Variety | None = None, material: Material | None = None
) -> tuple[Line | Variety | Material, int]:
    given = [thing for thing in (of_line, variety, material) if thing is not None]
    if len(given) != 1:
        raise refusal("quantity", _("Say what it is, once: a line, a variety or a material."), code="of_one")
    return given[0], quantity


KINDS = (
    Kind(
        "recipes", "boxes", _("what one of a made-up line takes, from a day"), set_recipe,
        (Key("key"), Ref("line", to="lines"), Day("on"), Words("note", required=False)),
        parts={"parts": "recipe_parts"},
    ),
    Kind(
        "recipe_parts", "boxes", _("bunches of a line, loose stems of a variety, or a material"), _recipe_part,
        (
            Ref("recipe", to="recipes"), Ref("of_line", to="lines", required=False),
            Ref("variety", to="varieties", required=False), Ref("material", to="materials", required=False),
            Whole("quantity", about=_("for one made")),
        ),
        part_of="recipe",
    ),
    Kind(
        "runs", "boxes", _("runs: bunched, reworked, made up, bought in"), _run,
        (
            Key("key"), Day("on"), OneOf("kind", words=tuple(Run.Kind.values), required=False, about=_("empty: bunching")),
            Whole("lost", required=False, about=_("stems lost on the way")), Words("note", required=False),
            Words("supplier", required=False, about=_("of what was bought in, as the four after it")),
            Words("reference", required=False), Money("net", required=False), Money("tax", required=False),
            KindOfCost("cost_kind", required=False),
        ),
        parts={"inputs": "run_inputs", "bunches": "run_bunches", "materials": "run_materials", "outputs": "run_outputs"},
    ),
    Kind(
        "run_inputs", "boxes", _("stems a run used"), _input,
        (
            Ref("run", to="runs"), Ref("hanging", to="hangings", required=False, about=_("sound stems of a hanging")),
            Ref("dry_lot", to="lots", required=False, about=_("stems of a lot cut dry")),
            Ref("fresh_lot", to="lots", required=False, about=_("fresh stems of a lot, made up")),
            Ref("oddments", to="oddments", required=False), Whole("stems"),
        ),
        part_of="run",
    ),
    Kind(
        "run_bunches", "boxes", _("bunches a run used"), _bunches,
        (
            Ref("run", to="runs"), Ref("batch", to="run_outputs"),
            Ref("box", to="boxes", required=False, about=_("empty: not yet boxed")), Whole("bunches"),
        ),
        part_of="run",
    ),
    Kind(
        "run_materials", "boxes", _("materials a run used"), _material,
        (Ref("run", to="runs"), Ref("material", to="materials"), Whole("quantity")),
        part_of="run",
    ),
    Kind(
        "run_outputs", "boxes", _("the batches a run made; the key is the batch's"), _output,
        (
            Key("key"), Ref("run", to="runs"), Ref("line", to="lines"), Whole("made"),
            Whole("stems", required=False, about=_("only where the line is not a bunch of so many")),
            Money("unit_value", required=False, about=_("sales value of one, where the run is split by value")),
            Ref("box", to="boxes", required=False),
        ),
        part_of="run", made=_batch_of,
    ),
)
