"""Bringing in materials: bought by number, used for one thing, counted."""

from datetime import date

import pytest

from ledger.books.bringing import NotBroughtIn, bring_in
from ledger.daybook.models import Material
from ledger.daybook.queries import on_hand
from tests.books.folders import GOOD, folder

pytestmark = pytest.mark.django_db
LINES = "purchase,description,kind,net,spent_on,quantity\nbill,twine,packing,12.00,material:twine,{quantity}\n"
FILES = {
    "materials": "key,name,unit,by_count\ntwine,Twine,cm,no\n",
    "purchases": "key,on,supplier\nbill,2025-03-01,Rope walk\n",
    "purchase_lines": LINES.format(quantity=500),
    "material_uses": "material,on,quantity,spent_on\ntwine,2025-07-02,30,lot:lot1\ntwine,2025-07-03,5,store\n",
    "material_counts": "material,on,counted\ntwine,2025-07-04,450\n",
}


def test_materials_come_in_with_their_bills_uses_and_counts():
    """500 bought, 30 and 5 used, 450 counted."""
    bring_in(by=None, files=folder(**FILES))
    material = Material.objects.get()

    assert (material.name, material.by_count) == ("Twine", False)
    assert [on_hand(material, date(2025, 7, day)) for day in (1, 2, 3, 4)] == [500, 470, 465, 450]
    assert material.uses.get(quantity=30).spent_on.kind == "lot"


@pytest.mark.parametrize(("file", "text", "column"), [
    ("purchase_lines", LINES.format(quantity=""), "quantity"),
    ("material_uses", "material,on,quantity,spent_on\ntwine,2025-07-02,30,lot:lot1*2\n", "spent_on"),
    ("material_uses", "material,on,quantity,spent_on\ntwine,2025-07-02,30,lot:lot1;store\n", "spent_on"),
    ("material_uses", "material,on,quantity,spent_on\nwire,2025-07-02,30,store\n", "material"),
])
def test_what_is_wrong_with_a_material_is_named_by_its_cell(file, text, column):
    """A bill without a number, a use of several things or of what is not there."""
    with pytest.raises(NotBroughtIn) as caught:
        bring_in(by=None, files=folder(**{**FILES, file: text}))

    assert (f"{file}.csv", 2, column) in [(fault.file, fault.line, fault.column) for fault in caught.value.faults]
    assert "lot1" in GOOD["lots"]
