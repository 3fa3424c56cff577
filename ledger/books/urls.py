"""The addresses of the books."""

from django.urls import path

from .views import bring_in, closing, earnings, proof, valuation

app_name = "books"
urlpatterns = [
    path("earnings/", earnings.earnings, name="earnings"),
    path("valuation/", valuation.valuation, name="valuation"),
    path("valuation/paper/", valuation.valuation_paper, name="valuation_paper"),
    path("closes/", closing.closes, name="closes"),
    path("closes/close/", closing.Close.as_view(), name="close"),
    path("closes/<int:pk>/reopen/", closing.Reopen.as_view(), name="reopen"),
    path("proof/", proof.proof, name="proof"),
    path("bring-in/", bring_in.BringIn.as_view(), name="bring_in"),
]
