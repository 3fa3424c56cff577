"""Boxes split, put together and emptied, and stock-takes, brought in."""

import pytest

from ledger.books.bringing import NotBroughtIn, bring_in
from ledger.stock.models import Content, Movement, Repacking, StockTake, TakeEnd
from tests.books.folders import folder

pytestmark = pytest.mark.django_db
MADE = {
    "boxes": "key,shelf\nbox1,A1\nbox2,B1\nbox3,B2\n",
    "runs": "key,on\nr1,2025-07-16\n",
    "run_inputs": "run,hanging,stems\nr1,h1,200\n",
    "run_outputs": "key,run,line,made,box\nb1,r1,line1,20,box1\n",
    "splits": "key,on,box,to_box,shelf\ns1,2025-07-17,box1,box2,\ns2,2025-07-17,box1,,C1\n",
    "split_rows": "split,batch,bunches\ns1,b1,5\ns2,b1,3\n",
    "boxes_together": "on,box,to_box\n2025-07-18,box2,box3\n",
    "boxes_emptied": "on,box\n2025-07-19,box3\n",
    "takes": "key,on,shelf,line,shown,note\nt1,2025-07-20,,line1,yes,summer\nt2,2025-07-21,A1,,,\n",
    "take_counts": "take,on,batch,box,counted\nt1,2025-07-20,b1,box1,11\nt1,2025-07-20,b1,,6\n",
    "take_ends": "take,on,why\nt1,2025-07-20,mice\n",
}


def test_boxes_repacked_and_a_stock_take_are_brought_in():
    """Twenty, less five and three; five by way of two boxes to none; then 11 of 12 and 6 of 5 counted; one left open."""
    bring_in(by=None, files=folder(**MADE))

    assert list(Repacking.objects.order_by("pk").values_list("what", flat=True)) == ["split", "split", "together", "emptied"]
    lies = {content.box.shelf if content.box else "": content.bunches for content in Content.objects.filter(bunches__gt=0)}
    assert lies == {"A1": 11 - 4, "C1": 3, "": 6}  # four are sold in August
    ended, begun = StockTake.objects.order_by("pk")
    assert (ended.shown, ended.note, begun.shelf, TakeEnd.objects.get().take) == (True, "summer", "A1", ended)
    missing = Movement.objects.get(kind="written_off")
    assert (missing.reason, Movement.objects.get(kind="found").brings_back) == ("mice", missing)


def test_each_difference_may_have_a_reason_of_its_own():
    """Of eleven in the box one is missing, of five without a box two: mice here, a wet corner there."""
    files = {
        **MADE, "take_counts": "take,on,batch,box,counted\nt1,2025-07-20,b1,box1,11\nt1,2025-07-20,b1,,3\n",
        "take_ends": "key,take,on,why\ne1,t1,2025-07-20,mice\n",
        "take_reasons": "take_end,batch,box,why\ne1,b1,,a wet corner\n",
    }
    bring_in(by=None, files=folder(**files))

    missing = Movement.objects.filter(kind="written_off").order_by("pk")
    assert {(row.box_id is None, row.bunches, row.reason) for row in missing} == {
        (False, -1, "mice"), (True, -2, "a wet corner"),
    }


def test_a_reason_for_what_was_not_counted_is_refused():
    """Nothing was counted in that box."""
    files = {
        **MADE, "take_ends": "key,take,on,why\ne1,t1,2025-07-20,mice\n",
        "take_reasons": "take_end,batch,box,why\ne1,b1,box2,damp\n",
    }
    with pytest.raises(NotBroughtIn) as refused:
        bring_in(by=None, files=folder(**files))

    assert any("was not counted there" in str(fault.reason) for fault in refused.value.faults)


@pytest.mark.parametrize(
    ("file", "before", "after", "says"),
    [
        ("split_rows", "s1,b1,5", "s1,b1,21", "Only 20 are there."), ("boxes_emptied", "box3", "box2", "nothing in box"),
        ("take_ends", "mice", "", "Say why 1 of"), ("take_counts", "b1,,6", "b1,box2,", ""),
        ("takes", "t2,2025-07-21,A1", "t2,2025-07-21,Z9", "No box stands on a shelf"),
    ],
)
def test_what_cannot_be_is_named_with_its_line(file, before, after, says):
    """As the verbs refuse it; nothing is brought in."""
    files = {**MADE, file: MADE[file].replace(before, after)}

    with pytest.raises(NotBroughtIn) as refused:
        bring_in(by=None, files=folder(**files))

    assert any(fault.file == f"{file}.csv" or fault.file == file for fault in refused.value.faults)
    assert any(says in str(fault.reason) for fault in refused.value.faults)
    assert not StockTake.objects.exists()
