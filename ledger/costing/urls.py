"""The addresses of costing."""

from django.urls import path

from .views import figures, overheads

app_name = "costing"
urlpatterns = [
    path("of/<str:kind>/<int:number>/", figures.node, name="node"),
    path("of/<str:kind>/<int:number>/how-far/", figures.how_far, name="how_far"),
    path("of/<str:kind>/<int:number>/paper/", figures.node_paper, name="node_paper"),
    path("figure/<str:kind>/<int:number>/", figures.figure, name="figure"),
    path("line/<int:pk>/", figures.purchase_line, name="purchase_line"),
    path("overheads/", overheads.OverheadPlans.as_view(), name="overheads"),
    path("overheads/plan/", overheads.PlanOverheads.as_view(), name="plan_overheads"),
    path("overheads/<int:pk>/undo/", overheads.UndoOverheads.as_view(), name="undo_overheads"),
]
