"""Labels of boxes, one or a sheet of them, as paper."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render

from ledger.facts.paper import address_of, paper, qr_picture
from ledger.reckoning.label_sheets import LabelSheet, laid_out
from ledger.stock.forms import LabelsForm
from ledger.stock.models import Box, Line
from ledger.stock.queries import cautions_for

from .boxes import contents_in

KEPT = "label_size"
MOST_KINDS = {"large": 4, "middling": 2, "small": 1}


@dataclass(frozen=True)
class Kind:
    """So many of one line and season."""

    line: Line
    colour: str
    season: int
    bunches: int


@dataclass(frozen=True)
class Label:
    """What one label says; `more`: how many further kinds are in the box."""

    box: Box
    qr: str
    kinds: Sequence[Kind]
    cautions: Sequence[tuple[str, str]]
    more: int = 0


def label(request: HttpRequest, pk: int) -> HttpResponse:
    """The box's label as paper, in the size this browser chose last."""
    box = get_object_or_404(Box, pk=pk)
    sheet = LabelsForm.sheet_named(request.session.get(KEPT))
    return _paper(request, [box], sheet, 1, f"box-{box.code}.pdf")


def labels(request: HttpRequest) -> HttpResponse:
    """Choose boxes and a size; with both, the sheets as paper."""
    asked = request.GET if "size" in request.GET else None
    form = LabelsForm(asked, shelf=request.GET.get("shelf"), kept=request.session.get(KEPT))
    if not form.is_valid():
        return render(request, "stock/labels.html", {"form": form, "shelves": _shelves()}, status=422 if form.is_bound else 200)
    request.session[KEPT] = form.kept()
    return _paper(request, form.cleaned_data["boxes"], form.sheet, form.cleaned_data["first"], "labels.pdf")


def _shelves() -> list[str]:
    shelves = Box.objects.filter(parcel=False).exclude(shelf="").order_by("shelf")
    return list(shelves.values_list("shelf", flat=True).distinct())


def _paper(request: HttpRequest, boxes: Sequence[Box], sheet: LabelSheet, first: int, name: str) -> HttpResponse:
    contents = contents_in(boxes)
    cautions = {lines: cautions_for(lines) for lines in {_lines_of(one) for one in contents.values()}}
    made = [label_of(request, box, sheet.room, contents[box.pk], cautions[_lines_of(contents[box.pk])]) for box in boxes]
    laid = laid_out(len(made), sheet.count, first)
    sheets = [[(place, made[one]) for place, one in enumerate(places) if one >= 0] for places in laid]
    return paper(request, "print/labels.html", {"sheets": sheets, "room": sheet.room}, name, css=css_of(sheet))


def _lines_of(contents: Iterable[Any]) -> frozenset[Line]:
    return frozenset(content.batch.line for content in contents)


def label_of(
    request: HttpRequest, box: Box, room: str, contents: Sequence[Any], cautions: Sequence[tuple[str, str]]
) -> Label:
    """The label of one box with as much as has room; cautions always have."""
    kinds = kinds_of(contents)
    shown = kinds[: MOST_KINDS[room]]
    qr = qr_picture(address_of(request, box.get_absolute_url()))
    return Label(box, qr, shown, cautions, len(kinds) - len(shown))


def kinds_of(contents: Iterable[Any]) -> list[Kind]:
    """What is in a box by line and season, batches of both alike counted together, in the order they lie there."""
    found: dict[tuple[int, int], Kind] = {}
    for content in contents:
        key = (content.batch.line_id, content.season)
        before = found[key].bunches if key in found else 0
        found[key] = Kind(content.batch.line, content.colour, content.season, before + content.bunches)
    return list(found.values())


def css_of(sheet: LabelSheet) -> str:
    """Where the labels lie, as a stylesheet of the paper."""
    rules = [
        f"@page {{ size: {_mm(sheet.wide)} {_mm(sheet.high)}; margin: 0; @bottom-right {{ content: none }} }}",
        f".sheet {{ width: {_mm(sheet.wide)}; height: {_mm(sheet.high)} }}",
        f".label {{ width: {_mm(sheet.label_wide)}; height: {_mm(sheet.label_high)} }}",
    ]
    rules += [f".place-{at} {{ left: {_mm(left)}; top: {_mm(top)} }}" for at, (left, top) in enumerate(sheet.places())]
    return "\n".join(rules)


def _mm(tenths: int) -> str:
    return f"{tenths // 10}.{tenths % 10}mm"
