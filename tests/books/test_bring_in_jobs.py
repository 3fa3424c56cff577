"""A wedding and a workshop brought in, from the quote to the invoice."""

import pytest

from ledger.books.bringing import NotBroughtIn, bring_in
from ledger.facts.models import User
from ledger.sales.models import (
    Deposit,
    HireBack,
    HireItemCount,
    Invoice,
    Job,
    JobCancelled,
    JobHold,
    JobPiece,
    Payment,
    PlacesSold,
    Taken,
    Workshop,
)
from ledger.stock.models import Content
from tests.books.folders import folder

JOBS = {
    "lots": "key,planting,on,stage,stems\nlot1,p1,2025-07-01,full,200\nlot2,p1,2025-08-20,full,90\n",
    "customers": "key,name,trade\ntwo,Two in a barn,no\n",
    "hire_items": "key,name,charge,breakage,owned,on\njars,jar,1.50,4.00,20,2025-01-01\n",
    "hire_item_counts": "item,on,more,fewer,why\njars,2025-02-01,2,5,counted\n",
    "jobs": (
        "key,on,name,kind,customer,way,held_on\n"
        "j1,2025-07-20,Barn wedding,wedding,two,stall,2025-08-23\nj2,2025-07-20,Supper,event,two,stall,2025-09-20\n"
    ),
    "job_changes": "job,on,held_on,note\nj2,2025-07-25,2025-09-27,a week later\n",
    "job_pieces": (
        "key,job,on,name,quantity,price,minutes\n"
        "bouquet,j1,2025-07-20,Bouquet,1,80.00,60\nbring,j1,2025-07-20,Bringing,1,30.00,\ntable,j2,2025-07-20,Table,4,20.00,\n"
    ),
    "piece_parts": "piece,line,variety,bought,cost,quantity\nbouquet,line1,,,,20\nbouquet,,blue,,,12\nbouquet,,,rose,0.90,5\n",
    "piece_changes": "key,piece,on,quantity,price\nbouquets,bouquet,2025-08-01,2,75.00\n",
    "job_hires": "key,job,on,item,quantity,first_day,last_day\nhj,j1,2025-07-20,jars,10,2025-08-22,2025-08-24\n",
    "jobs_agreed": "job,on\nj1,2025-07-22\nj2,2025-07-22\n",
    "deposits": "job,on,amount,how\nj1,2025-07-22,50.00,transfer\nj2,2025-07-22,40.00,cash\n",
    "deposits_back": "job,on,amount\nj1,2025-08-01,10.00\n",
    "job_keeps": "job,on,line,bunches\nj1,2025-07-22,line1,5\nj2,2025-07-22,line1,3\n",
    "job_keeps_freed": "job,line,on,bunches\nj1,line1,2025-08-01,1\n",
    "workshops": (
        "key,on,name,way,held_on,places,price\n"
        "w1,2025-07-20,Posies,stall,2025-08-30,6,25.00\nw2,2025-07-20,Wreaths,stall,2025-09-30,4,30.00\n"
    ),
    "places_sold": "key,workshop,on,places,price,who,paid\nps1,w1,2025-08-01,4,,Fay,card\nps2,w2,2025-08-01,1,28.00,,\n",
    "places_given_back": "sold,on,places,returned\nps1,2025-08-20,1,10.00\n",
    "taken_for_work": (
        "key,job,workshop,on,line,lot,batch,quantity,box\n"
        "t1,j1,,2025-08-21,line1,,b1,4,box1\nt2,j1,,2025-08-21,,lot2,,30,\nt3,,w1,2025-08-29,line1,,,2,\n"
    ),
    "back_from_work": "taken,on,quantity,box\nt1,2025-08-24,1,box1\nt2,2025-08-24,5,\n",
    "hires_out": "hire,on,quantity\nhj,2025-08-22,10\n",
    "hires_back": "hire,on,whole,broken\nhj,2025-08-24,8,2\n",
    "jobs_done": "job,on\nj1,2025-08-23\n",
    "jobs_cancelled": "job,on,kept,taxed,why\nj2,2025-09-01,15.00,no,ill\n",
    "workshops_held": "workshop,on\nw1,2025-08-30\n",
    "workshops_called_off": "workshop,on,why\nw2,2025-09-01,nobody\n",
    "invoices": "key,order,job,on\ni1,,j1,2025-08-26\n",
    "payments": "invoice,on,amount\ni1,2025-09-05,100.00\n",
    "purchases": "key,on,supplier\nroses,2025-08-21,Roses\n",
    "purchase_lines": "purchase,description,kind,net,spent_on\nroses,ten roses,inputs,9.00,job:j1\n",
    "work": "worker,on,minutes,task,spent_on\nwren,2025-08-22,90,selling,job:j1;workshop:w1\n",
}


@pytest.mark.django_db
def test_a_job_and_a_workshop_are_brought_in_whole() -> None:
    """Two bouquets at 75.00, 30.00 for bringing, ten jars at 1.50, two broken at 4.00: 203.00, 40.00 of it paid ahead."""
    bring_in(by=None, files=folder(**JOBS))

    invoice = Invoice.objects.get(job__isnull=False)
    assert invoice.gross == 20_300
    assert Payment.objects.get(deposit_of__isnull=False).amount == 4_000 and Payment.objects.get(deposit_of=None).amount == 10_000
    piece = JobPiece.objects.standing().get(name="Bouquet")
    assert (piece.quantity, piece.price, piece.parts.count()) == (2, 7_500, 3)
    assert sum(Deposit.objects.values_list("amount", flat=True)) == 5_500
    assert JobCancelled.objects.get().kept == 1_500
    assert HireBack.objects.get().charge == 800 and sorted(HireItemCount.objects.values_list("more", flat=True)) == [-3, 20]
    assert Taken.objects.standing().get(parting__isnull=False).quantity == 25
    assert Job.objects.count() == 2 and JobHold.objects.count() == 2
    assert Workshop.objects.count() == 2 and PlacesSold.objects.get(customer=None, price=2_800).paid == "cash"
    assert Content.objects.get(bunches__gt=0).bunches == 20 - 4 - 4 + 1 - 2


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("file", "rows", "says"),
    [
        ("taken_for_work", "key,job,workshop,on,line,quantity\nt1,j1,w1,2025-08-21,line1,4\n", "either a job or a workshop"),
        ("taken_for_work", "key,job,on,line,lot,quantity\nt1,j1,2025-08-21,line1,lot2,4\n", "a bunch line or a harvest lot"),
        ("job_keeps_freed", "job,line,on,bunches\nj2,line1,2025-07-21,1\n", "Nothing of it is kept"),
        ("invoices", "key,order,job,on\ni1,,,2025-08-26\n", "either an order or a job"),
        ("job_pieces", "key,job,on,name,quantity,price\nbouquet,j9,2025-07-20,Bouquet,1,80.00\n", "j9"),
    ],
)
def test_a_faulty_row_is_told_and_nothing_brought_in(file: str, rows: str, says: str) -> None:
    """What names too much, too little or what is not there."""
    with pytest.raises(NotBroughtIn) as refused:
        bring_in(by=None, files=folder(**{**JOBS, file: rows}))
    assert any(says in str(fault.reason) for fault in refused.value.faults)
    assert not User.objects.exists()
