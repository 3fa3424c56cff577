"""The addresses of the site."""

from django.urls import URLPattern, URLResolver, include, path

from . import doors, today, waiting

urlpatterns: list[URLPattern | URLResolver] = [
    path("", today.show, name="today"),
    path("sign-in/", doors.SignIn.as_view(), name="sign_in"),
    path("sign-out/", doors.SignOut.as_view(), name="sign_out"),
    path("set-up/<str:token>/", doors.set_up_page, name="set_up"),
    path("password/", doors.ChangePassword.as_view(), name="change_password"),
    path("come-in/<str:token>/", doors.come_in, name="come_in"),
    path("here/", waiting.here, name="here"),
    path("waiting/", waiting.waiting, name="waiting"),
    path("holding/", include("ledger.facts.urls")),
    path("daybook/", include("ledger.daybook.urls")),
    path("growing/", include("ledger.growing.urls")),
    path("drying/", include("ledger.drying.urls")),
    path("stock/", include("ledger.stock.urls")),
    path("costs/", include("ledger.costing.urls")),
    path("pricing/", include("ledger.pricing.urls")),
    path("sales/", include("ledger.sales.urls")),
    path("books/", include("ledger.books.urls")),
]
handler500 = "grower.faults.fault"
