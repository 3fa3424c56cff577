"""Money received and given back on an order, brought in from a folder."""

import pytest

from ledger.books.bringing import bring_in
from ledger.books.queries.proof_papers import paper_differences
from ledger.sales.models import Invoice, Payment

from .folders import folder

ORDER = {
    "ways": "key,name,with_tax,trade\nstall,Stall,yes,no\npost,Post,no,yes\n",
    "customers": "key,name\nquill,Quill\n",
    "orders": "key,on,customer,way\no1,2025-08-04,quill,post\n",
    "order_lines": "key,order,line,asked,price\nol1,o1,line1,5,4.00\n",
    "packings": "order_line,on,batch,box,bunches\nol1,2025-08-05,b1,box1,5\n",
    "dispatches": "order,on\no1,2025-08-05\n",
    "invoices": "key,order,job,on\ni1,o1,,2025-08-05\n",
    "payments": "invoice,on,amount\ni1,2025-08-12,20.00\n",
    "credits": "key,invoice,on,why\nc1,i1,2025-08-14,moths\n",
    "credit_lines": "credit,order_line,quantity\nc1,ol1,2\n",
    "payments_back": "invoice,on,amount,how\ni1,2025-08-15,7.50,transfer\n",
}


@pytest.mark.django_db
def test_money_given_back_is_brought_in() -> None:
    """Five at 4.00 paid, two credited, 7.50 of those 8.00 back: 0.50 is still the customer's."""
    bring_in(by=None, files=folder(**ORDER))

    assert list(Payment.objects.order_by("pk").values_list("amount", "how")) == [(2000, ""), (-750, "transfer")]
    assert Invoice.objects.with_owed().get(number=1).owed == -50
    assert list(paper_differences()) == []
