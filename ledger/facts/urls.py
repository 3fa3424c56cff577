"""The addresses of the holding and its people."""

from django.urls import path

from . import views

app_name = "facts"
urlpatterns = [
    path("", views.holding, name="holding"),
    path("change/", views.ChangeHolding.as_view(), name="change_holding"),
    path("people/", views.People.as_view(), name="people"),
    path("people/add/", views.AddPerson.as_view(), name="add_person"),
    path("people/<int:pk>/change/", views.ChangePerson.as_view(), name="change_person"),
    path("tax-status/", views.TaxStatuses.as_view(), name="tax_statuses"),
    path("tax-status/enter/", views.SetTaxStatus.as_view(), name="set_tax_status"),
    path("tax-status/<int:pk>/undo/", views.UndoTaxStatus.as_view(), name="undo_tax_status"),
    path("tax-rates/", views.TaxRates.as_view(), name="tax_rates"),
    path("tax-rates/enter/", views.SetTaxRate.as_view(), name="set_tax_rate"),
    path("tax-rates/<int:pk>/undo/", views.UndoTaxRate.as_view(), name="undo_tax_rate"),
]
