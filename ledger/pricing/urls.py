"""The addresses of pricing."""

from django.urls import path

from .views import prices, sheets, what_if

app_name = "pricing"
urlpatterns = [
    path("prices/", prices.Prices.as_view(), name="prices"),
    path("prices/set/", prices.SetPrice.as_view(), name="set_price"),
    path("prices/<int:pk>/undo/", prices.UndoPrice.as_view(), name="undo_price"),
    path("lines/<int:pk>/", prices.line, name="line"),
    path("lines/<int:pk>/cost-sheet/", sheets.sheet, name="cost_sheet"),
    path("lines/<int:pk>/cost-sheet/paper/", sheets.sheet_paper, name="cost_sheet_paper"),
    path("lines/<int:pk>/what-if/", what_if.show, name="what_if"),
    path("lines/<int:pk>/what-if/paper/", what_if.show_paper, name="what_if_paper"),
    path("ways/", prices.Ways.as_view(), name="ways"),
    path("ways/add/", prices.AddWay.as_view(), name="add_way"),
    path("ways/<int:pk>/", prices.way, name="way"),
    path("ways/<int:pk>/rename/", prices.RenameWay.as_view(), name="rename_way"),
    path("ways/<int:pk>/terms/", prices.SetTerms.as_view(), name="set_terms"),
    path("terms/<int:pk>/undo/", prices.UndoTerms.as_view(), name="undo_terms"),
]
