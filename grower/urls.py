"""The addresses of the site."""

from importlib import import_module

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



def _written(urls: str) -> bool:
    """Whether a stage's pages can be loaded yet."""
    try:
        import_module(urls)
    except ImportError:
        return False
    return True


urlpatterns: list[URLPattern | URLResolver] = [
    path("", today.show, name="today"),
    path("sign-in/", doors.SignIn.as_view(), name="sign_in"),
    path("sign-out/", doors.SignOut.as_view(), name="sign_out"),
    path("set-up/<str:token>/", doors.set_up_page, name="set_up"),
    path("password/", doors.ChangePassword.as_view(), name="change_password"),
    path("come-in/<str:token>/", doors.come_in, name="come_in"),
]
urlpatterns += [path(prefix, include(urls)) for prefix, urls in STAGES.items() if _written(urls)]

handler500 = "grower.faults.fault"
