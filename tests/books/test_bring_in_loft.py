"""Bringing in what was moved, hung as bunches or as a trial, and oddments kept."""

from datetime import date

import pytest

from ledger.books.bringing import NotBroughtIn, bring_in
from ledger.drying.models import Hanging, Oddments
from tests.books.folders import folder

pytestmark = pytest.mark.django_db
HEAD = "key,lot,on,place,stems,room,bunch_stems,trial,moved_from\n"
FILES = {
    "places": "key,name,unit,room\nloft,Loft,hooks,50\nshed,Shed,racks,20\n",
    "hangings": (
        f"{HEAD}h2,,2025-07-05,shed,50,2,,,h1\nh1,lot1,2025-07-01,loft,200,10,10,yes,\nh3,,2025-07-05,loft,20,1,,,h2\n"
    ),
    "takings": "hanging,on,stems,mould,dropped\nh1,2025-07-15,150,,\nh2,2025-07-15,30,10,\n",
    "oddments": "key,hanging,on,stems,value\no1,h2,2025-07-16,4,1.20\n",
    "runs": "key,on,lost\nr1,2025-07-16,0\n",
    "run_inputs": "run,hanging,stems\nr1,h1,150\n",
    "run_outputs": "key,run,line,made,box\nb1,r1,line1,15,box1\n",
}


def test_moves_come_in_after_what_they_move_from():
    """200 hung in bunches as a trial, 50 of them moved to the shed and 20 of these back; 4 lost ones kept."""
    bring_in(by=None, files=folder(**FILES))

    rows = Hanging.objects.with_stems_up(date(2025, 7, 31)).order_by("pk")
    assert [(one.place.name, one.stems, one.moved, one.stems_up) for one in rows] == [
        ("Loft", 200, 50, 0), ("Shed", 50, 20, 0), ("Loft", 20, 0, 20),
    ]
    assert {(one.bunch_stems, one.trial) for one in rows} == {(10, True)}
    assert Oddments.objects.values_list("hanging__place__name", "stems", "value").get() == ("Shed", 4, 120)


@pytest.mark.parametrize(("row", "column"), [
    ("h4,lot1,2025-07-05,shed,5,1,,,h1", "lot"), ("h4,,2025-07-05,shed,5,1,,,", "lot"),
    ("h4,,2025-07-05,shed,5,1,5,,h1", "bunch_stems"), ("h4,,2025-07-05,shed,151,1,,,h1", "stems"),
    ("h4,,2025-07-05,shed,5,1,,,h9", "moved_from"),
])
def test_what_is_wrong_with_a_move_is_named_by_its_cell(row, column):
    """Of a lot and moved, of neither, hung as something else, too many, or moved from what is not there."""
    files = {**FILES, "hangings": f"{FILES['hangings']}{row}\n"}
    with pytest.raises(NotBroughtIn) as caught:
        bring_in(by=None, files=folder(**files))

    assert ("hangings.csv", 5, column) in [(fault.file, fault.line, fault.column) for fault in caught.value.faults]


def test_hangings_moved_from_one_another_in_a_ring_are_named():
    """Neither can come first."""
    ring = f"{HEAD}h1,,2025-07-01,loft,200,10,,,h2\nh2,,2025-07-05,shed,50,2,,,h1\n"
    with pytest.raises(NotBroughtIn) as caught:
        bring_in(by=None, files=folder(**{**FILES, "hangings": ring}))

    assert [(fault.file, fault.line) for fault in caught.value.faults] == [("hangings.csv", 2), ("hangings.csv", 3)]
