"""A market day brought in: loaded, sold with a reason and as seconds, put away."""

import pytest

from ledger.books.bringing import NotBroughtIn, bring_in
from ledger.facts.models import User
from ledger.sales.models import Sale, SaleLine, StallBack, StallLoad
from ledger.stock.models import Content
from tests.books.folders import folder

DAY = {
    "lots": "key,planting,on,stage,stems\nlot1,p1,2025-07-01,full,200\nlot2,p1,2025-08-01,full,90\n",
    "sale_lines": "sale,line,lot,quantity,price,stems_each,why\ns1,line1,,4,5.00,,end of the day\ns1,,lot2,3,4.00,10,\n",
    "stall_loads": "stall_day,box\nm1,box1\n",
    "seconds_sold": "key,on,way,stall_day,line,bunches,price,paid\nx1,2025-08-02,stall,m1,line1,2,2.00,card\n",
    "stall_backs": "key,on,stall_day,why,place\nk1,2025-08-02,m1,crushed,loft\n",
    "stall_back_boxes": "back,box,batch,came_back,thrown,shelf\nk1,box1,b1,13,1,B7\n",
    "stall_back_stems": "back,lot,hung,room,thrown\nk1,lot2,40,2,5\n",
}


@pytest.mark.django_db
def test_a_market_day_is_brought_in_whole() -> None:
    """Twenty less four sold, two as seconds, one missing, one thrown out: twelve in the box on its new shelf."""
    bring_in(by=None, files=folder(**DAY))

    content = Content.objects.get(bunches__gt=0)
    assert (content.bunches, content.box.shelf) == (12, "B7")
    assert StallLoad.objects.count() == 1 and StallBack.objects.get().rows.count() == 4
    assert SaleLine.objects.get(why="end of the day").price == 500
    assert SaleLine.objects.exclude(parting=None).get().stems_each == 10
    assert Sale.objects.exclude(rework=None).get().paid == "card"


@pytest.mark.django_db
def test_a_changed_price_without_a_reason_says_it_was_brought_in() -> None:
    """Old records have none; the list's own price keeps none."""
    bring_in(by=None, files=folder(sale_lines="sale,line,quantity,price\ns1,line1,4,5.00\ns1,line1,1,5.50\n"))
    assert [line.why for line in SaleLine.objects.order_by("pk")] == ["as it was brought in", ""]


@pytest.mark.django_db
def test_a_box_that_was_not_loaded_cannot_come_back() -> None:
    """The fault is told, and nothing is brought in."""
    with pytest.raises(NotBroughtIn) as refused:
        bring_in(by=None, files=folder(**{**DAY, "stall_loads": "stall_day,box\n"}))
    assert "was not loaded" in str(refused.value.faults[0].reason)
    assert not User.objects.exists()
