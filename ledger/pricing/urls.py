"""The addresses of pricing."""

from django.urls import path

from .views import lists, offers, prices, sheets, warnings, ways, what_if

app_name = "pricing"
urlpatterns = [
    path("prices/", prices.Prices.as_view(), name="prices"),
    path("prices/to-look-at/", warnings.show, name="warnings"),
    path("prices/set/", prices.SetPrice.as_view(), name="set_price"),
    path("prices/<int:pk>/end/", prices.EndPrice.as_view(), name="end_price"),
    path("prices/<int:pk>/undo/", prices.UndoPrice.as_view(), name="undo_price"),
    path("lines/<int:pk>/", prices.line, name="line"),
    path("lines/<int:pk>/cost-sheet/", sheets.sheet, name="cost_sheet"),
    path("lines/<int:pk>/cost-sheet/paper/", sheets.sheet_paper, name="cost_sheet_paper"),
    path("lines/<int:pk>/what-if/", what_if.show, name="what_if"),
    path("lines/<int:pk>/what-if/paper/", what_if.show_paper, name="what_if_paper"),
    path("ways/", ways.Ways.as_view(), name="ways"),
    path("ways/add/", ways.AddWay.as_view(), name="add_way"),
    path("ways/<int:pk>/", ways.way, name="way"),
    path("ways/<int:pk>/prices/", lists.price_list, name="price_list"),
    path("ways/<int:pk>/prices/paper/", lists.price_list_paper, name="price_list_paper"),
    path("ways/<int:pk>/prices/set/", lists.SetPrices.as_view(), name="set_prices"),
    path("ways/<int:pk>/change/", ways.ChangeWay.as_view(), name="change_way"),
    path("ways/<int:pk>/terms/", ways.SetTerms.as_view(), name="set_terms"),
    path("offers/", offers.Offers.as_view(), name="offers"),
    path("offers/add/", offers.AddOffer.as_view(), name="add_offer"),
    path("offers/<int:pk>/", offers.offer, name="offer"),
    path("offers/<int:pk>/end/", offers.EndOffer.as_view(), name="end_offer"),
    path("offers/<int:pk>/undo/", offers.UndoOffer.as_view(), name="undo_offer"),
    path("offer-ends/<int:pk>/undo/", offers.UndoOfferEnd.as_view(), name="undo_offer_end"),
    path("terms/<int:pk>/undo/", ways.UndoTerms.as_view(), name="undo_terms"),
]
