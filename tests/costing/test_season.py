"""Where a season's stems went, from cut to sold."""

from datetime import date

from django.urls import reverse

from ledger.costing.queries.season import way_of_stems
from ledger.costing.queries.strands import follow
from ledger.drying import actions as drying
from ledger.growing import actions as growing
from ledger.stock import actions as stock
from tests.thread import BUNCHED, CUT, DOWN, HUNG, spin_thread

END = date(2024, 12, 31)


def told(found):
    """Each stage with its stems and exits, in words."""
    return [(str(one.label), one.stems, {str(exit.label): exit.stems for exit in one.exits}) for one in found.stages]


def test_every_stem_cut_is_in_one_place(owner):
    """400 cut: 100 thrown out, 20 lost in drying, 10 in bunching, 270 on hand."""
    spin_thread(owner)

    assert told(way_of_stems(2024, END)) == [
        ("cut", 400, {"thrown out": 100}),
        ("hung", 300, {"lost in drying": 20}),
        ("fit to bunch", 280, {"lost in bunching": 10}),
        ("bunched", 270, {"on hand": 270}),
        ("sold in bunches", 0, {}),
    ]


def test_cut_dry_passes_the_loft_by(owner):
    """Fifty cut dry stand beside what was hung and are fit to bunch; five kept oddments are too."""
    thread = spin_thread(owner)
    lot = growing.cut(by=owner, planting=thread.planting, on=CUT, stage="seed", stems=60)
    growing.part(by=owner, lot=lot, on=CUT, way="cut_dry", stems=50)
    drying.keep_oddments(by=owner, hanging=thread.hanging, on=DOWN, stems=5, value=10)
    _cut, hung, fit, *_rest = way_of_stems(2024, END).stages

    assert (hung.stems, hung.beside.stems) == (300, 50)
    assert fit.stems == 335
    assert {str(one.label): one.stems for one in fit.exits} == {"loose, not yet bunched": 55, "lost in bunching": 10}


def test_bunches_end_where_their_movements_say(owner):
    """Of 27 bunches of ten: two drawn, one written off, three made up, twenty-one on hand."""
    thread = spin_thread(owner)
    stock.draw(by=owner, on=BUNCHED, batch=thread.batch, box=thread.box, bunches=2, reason="shop window")
    stock.write_off(by=owner, on=BUNCHED, batch=thread.batch, box=thread.box, bunches=1, reason="mice")
    wreath = stock.add_line(by=owner, name="Copper wreath", unit="piece")
    stock.make_up(
        by=owner, on=BUNCHED, outputs=[stock.Output(line=wreath, made=1)], bunches=[(thread.batch, thread.box, 3)]
    )
    bunched = told(way_of_stems(2024, END))[3]

    assert bunched == ("bunched", 270, {"on hand": 210, "made up": 30, "drawn": 20, "written off": 10})


def test_rework_carries_stems_on_and_loses_some(owner):
    """Two bunches of ten bleached into one of seventeen: three lost, none twice."""
    thread = spin_thread(owner)
    white = stock.add_line(by=owner, variety=thread.planting.variety, colour="copper", finish="bleached", stems=17)
    made = [stock.Output(line=white, made=1)]
    stock.rework(by=owner, on=BUNCHED, bunches=[(thread.batch, thread.box, 2)], outputs=made, lost=3)

    assert told(way_of_stems(2024, END))[3] == ("bunched", 270, {"on hand": 267, "lost in rework": 3})


def test_stems_of_two_seasons_in_one_run_are_parted_by_stems(owner):
    """A run of 30 of last season's and 90 of this loses four: one and three; none is lost in the sharing."""
    thread = spin_thread(owner)
    lots = [growing.cut(by=owner, planting=thread.planting, on=HUNG, stage="full", stems=stems) for stems in (30, 90)]
    hangings = [drying.hang(by=owner, lot=lot, on=HUNG, place=thread.hanging.place, stems=lot.stems) for lot in lots]
    for hanging in hangings:
        drying.take_down(by=owner, hanging=hanging, on=DOWN, stems=hanging.stems)
    used = [(hanging, hanging.stems) for hanging in hangings]
    big = stock.add_line(by=owner, variety=thread.planting.variety, colour="copper", stems=29)
    output = stock.Output(line=big, made=4)
    stock.make_run(by=owner, on=BUNCHED, inputs=used, outputs=[output], lost=4)
    parts = [follow([lot.pk], END) for lot in lots]

    assert [(one.runs[0].came, one.runs[0].lost, one.ended.total()) for one in parts] == [(30, 1, 29), (90, 3, 87)]


def test_before_it_came_down_it_still_hangs(owner):
    """The day before, 300 still hang and nothing is fit to bunch."""
    spin_thread(owner)
    found = way_of_stems(2024, date(2024, 7, 19))

    assert told(found)[1] == ("hung", 300, {"still hanging": 300})
    assert found.stages[2].stems == 0


def test_page_draws_it_for_every_role(hand, owner, client_as):
    """The picture says what it shows; the table gives every stage its part of what was cut; paper has the same."""
    spin_thread(owner)
    page = client_as(hand).get(reverse("costing:season"), {"season": 2024}).content.decode()
    paper = client_as(hand).get(reverse("costing:season_paper"), {"season": 2024})

    assert "Of 400 stems cut, 0 were sold dried in bunches and 130 were thrown out, lost or written off" in page
    assert "67.5 %" in page
    assert paper.headers["Content-Type"] == "application/pdf"


def test_a_season_without_stems_says_so(owner, client_as):
    """Nothing cut, nothing drawn."""
    page = client_as(owner).get(reverse("costing:season"), {"season": 2023}).content.decode()

    assert "Nothing was cut" in page
    assert "<svg class=\"picture" not in page
