"""The addresses of costing."""

from django.urls import path

from .views import better, figures, kinds, losses, overheads, season, worth

app_name = "costing"
urlpatterns = [
    path("of/<str:kind>/<int:number>/", figures.node, name="node"),
    path("of/<str:kind>/<int:number>/how-far/", figures.how_far, name="how_far"),
    path("of/<str:kind>/<int:number>/paper/", figures.node_paper, name="node_paper"),
    path("figure/<str:kind>/<int:number>/", figures.figure, name="figure"),
    path("worth/", worth.worth, name="worth"),
    path("line/<int:pk>/", figures.purchase_line, name="purchase_line"),
    path("losses/", losses.losses, name="losses"),
    path("losses/paper/", losses.losses_paper, name="losses_paper"),
    path("dries-better/", better.dries_better, name="dries_better"),
    path("dries-better/paper/", better.dries_better_paper, name="dries_better_paper"),
    path("season/", season.season, name="season"),
    path("season/paper/", season.season_paper, name="season_paper"),
    path("kinds/", kinds.kinds, name="kinds"),
    path("kinds/<int:pk>/move/", kinds.MoveKind.as_view(), name="move_kind"),
    path("kinds/moved/<int:pk>/undo/", kinds.UndoMoveOfKind.as_view(), name="undo_move_of_kind"),
    path("overheads/", overheads.OverheadPlans.as_view(), name="overheads"),
    path("overheads/plan/", overheads.PlanOverheads.as_view(), name="plan_overheads"),
    path("overheads/<int:pk>/undo/", overheads.UndoOverheads.as_view(), name="undo_overheads"),
]
