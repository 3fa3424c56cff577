"""The addresses of pricing."""

from django.urls import path

from . import sheet_views, views

app_name = "pricing"
urlpatterns = [
    path("prices/", views.Prices.as_view(), name="prices"),
    path("prices/set/", views.SetPrice.as_view(), name="set_price"),
    path("prices/<int:pk>/undo/", views.UndoPrice.as_view(), name="undo_price"),
    path("lines/<int:pk>/", views.line, name="line"),
    path("lines/<int:pk>/cost-sheet/", sheet_views.sheet, name="cost_sheet"),
    path("lines/<int:pk>/cost-sheet/paper/", sheet_views.sheet_paper, name="cost_sheet_paper"),
    path("ways/", views.Ways.as_view(), name="ways"),
    path("ways/add/", views.AddWay.as_view(), name="add_way"),
    path("ways/<int:pk>/", views.way, name="way"),
    path("ways/<int:pk>/rename/", views.RenameWay.as_view(), name="rename_way"),
    path("ways/<int:pk>/terms/", views.SetTerms.as_view(), name="set_terms"),
    path("terms/<int:pk>/undo/", views.UndoTerms.as_view(), name="undo_terms"),
]
