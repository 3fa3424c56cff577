"""The addresses of costing."""

from django.urls import path

from . import views

app_name = "costing"
urlpatterns = [
    path("of/<str:kind>/<int:number>/", views.node, name="node"),
    path("figure/<str:kind>/<int:number>/", views.figure, name="figure"),
    path("line/<int:pk>/", views.purchase_line, name="purchase_line"),
    path("overheads/", views.OverheadPlans.as_view(), name="overheads"),
    path("overheads/plan/", views.PlanOverheads.as_view(), name="plan_overheads"),
    path("overheads/<int:pk>/undo/", views.UndoOverheads.as_view(), name="undo_overheads"),
]
