"""The addresses of the site."""

from importlib.util import find_spec

from django.urls import URLPattern, URLResolver, include, path

from . import doors, today

STAGES = {
    "holding/": "ledger.facts.urls",
    "daybook/": "ledger.daybook.urls",
    "growing/": "ledger.growing.urls",
    "drying/": "ledger.drying.urls",
    "stock/": "ledger.stock.urls",
    "costs/": "ledger.costing.urls",
    "pricing/": "ledger.pricing.urls",
    "sales/": "ledger.sales.urls",
    "books/": "ledger.books.urls",
}

urlpatterns: list[URLPattern | URLResolver] = [
    path("", today.show, name="today"),
    path("sign-in/", doors.SignIn.as_view(), name="sign_in"),
    path("sign-out/", doors.SignOut.as_view(), name="sign_out"),
    path("set-up/<str:token>/", doors.set_up_page, name="set_up"),
    path("come-in/<str:token>/", doors.come_in, name="come_in"),
]
urlpatterns += [path(prefix, include(urls)) for prefix, urls in STAGES.items() if find_spec(urls)]

handler500 = "grower.faults.fault"
