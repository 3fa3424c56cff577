"""Rework, made-up goods, recipes, bunches bought in and boxes held back, brought in."""

import pytest

from ledger.books.bringing import NotBroughtIn, bring_in
from ledger.daybook.models import Purchase
from ledger.stock.models import Balance, HeldBack, LetGo, Line, Recipe, Run
from tests.books.folders import folder

pytestmark = pytest.mark.django_db
LINES = (
    "key,variety,name,grade,finish,unit,stems\nline1,blue,,firsts,natural,bunch,10\nfives,blue,,firsts,natural,bunch,5\n"
    "wreath,,Wreath,firsts,natural,piece,\n"
)
MADE = {
    "lines": LINES,
    "materials": "key,name,unit\nring,Wire ring,pieces\n",
    "lots": "key,planting,on,stage,stems\nlot1,p1,2025-07-01,full,200\nlot2,p1,2025-07-01,full,40\n",
    "partings": "lot,on,way,stems\nlot2,2025-07-02,cut_dry,30\n",
    "recipes": "key,line,on,note\nrec,wreath,2025-03-01,as in the book\n",
    "recipe_parts": "recipe,of_line,variety,material,quantity\nrec,fives,,,2\nrec,,blue,,15\nrec,,,ring,1\n",
    "runs": (
        "key,on,kind,lost,supplier,net,tax,cost_kind\nr1,2025-07-16,,,,,,\nr2,2025-07-17,rework,5,,,,\nr3,2025-07-18,making_up,,,,,\n"
        "r4,2025-07-19,bought_in,,Sorrel Farm,40.00,8.00,plants\n"
    ),
    "run_inputs": "run,hanging,dry_lot,fresh_lot,stems\nr1,h1,,,200\nr3,,lot2,,30\nr3,,,lot2,10\n",
    "run_bunches": "run,batch,box,bunches\nr2,b1,box1,6\nr3,b2,,4\n",
    "run_materials": "run,material,quantity\nr3,ring,2\n",
    "run_outputs": "key,run,line,made,box\nb1,r1,line1,20,box1\nb2,r2,fives,11,\nb3,r3,wreath,2,box1\nb4,r4,line1,3,\n",
    "held_backs": "key,box,on,until,why\nhb,box1,2025-07-20,2025-12-31,faded\n",
    "lets_go": "held_back,on\nhb,2025-07-25\n",
}


def test_runs_of_every_kind_are_brought_in():
    """20 tens; six split into 11 fives; four of those, 30 dry and 10 fresh stems make two wreaths; three tens bought."""
    bring_in(by=None, files=folder(**MADE))

    assert list(Run.objects.order_by("on").values_list("kind", flat=True)) == ["bunching", "rework", "making_up", "bought_in"]
    on_hand = dict(Balance.objects.values_list("line__stems", "on_hand"))
    assert on_hand == {10: 20 - 6 + 3 - 4, 5: 11 - 4, None: 2}
    wreath = Run.objects.get(kind="making_up")
    assert sorted(wreath.inputs.values_list("parting__way", "stems")) == [("cut_dry", 30), ("made_up", 10)]
    assert wreath.cost_object.material_uses.get().quantity == 2
    assert Purchase.objects.get(supplier="Sorrel Farm").lines.get().net == 4000


def test_recipes_and_boxes_held_back_are_brought_in():
    """Three things for one; held back for five days."""
    bring_in(by=None, files=folder(**MADE))

    recipe = Recipe.objects.get()
    assert (recipe.line, [part.quantity for part in recipe.parts.all()]) == (Line.objects.get(name="Wreath"), [2, 15, 1])
    assert LetGo.objects.get().held_back == HeldBack.objects.get()


@pytest.mark.parametrize(
    ("file", "before", "after"),
    [
        ("run_inputs", "r1,h1,,,200", "r1,h1,lot1,,200"), ("run_inputs", "r3,,lot2,,30", "r3,,lot1,,30"),
        ("runs", "Sorrel Farm", ""), ("runs", "r1,2025-07-16,,", "r1,2025-07-16,bought_in,"),
        ("recipe_parts", "rec,fives,,,2", "rec,fives,blue,,2"),
    ],
)
def test_what_does_not_fit_is_refused(file, before, after):
    """Stems from two places, nothing cut dry, a purchase without seller, bought hangings, a part that is two things."""
    with pytest.raises(NotBroughtIn) as caught:
        bring_in(by=None, files=folder(**{**MADE, file: MADE[file].replace(before, after)}))

    assert caught.value.faults
