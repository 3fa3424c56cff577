"""The addresses of growing."""

from django.urls import path

from .views import ground, lots, plantings, rounds

app_name = "growing"
urlpatterns = [
    path("plots/", ground.Plots.as_view(), name="plots"),
    path("plots/add/", ground.AddPlot.as_view(), name="add_plot"),
    path("plots/<int:pk>/", ground.plot, name="plot"),
    path("plots/<int:pk>/rename/", ground.RenamePlot.as_view(), name="rename_plot"),
    path("beds/", ground.Beds.as_view(), name="beds"),
    path("beds/add/", ground.AddBed.as_view(), name="add_bed"),
    path("beds/<int:pk>/", ground.bed, name="bed"),
    path("beds/<int:pk>/rename/", ground.RenameBed.as_view(), name="rename_bed"),
    path("species/", ground.AllSpecies.as_view(), name="species_list"),
    path("species/add/", ground.AddSpecies.as_view(), name="add_species"),
    path("species/<int:pk>/", ground.species, name="species"),
    path("species/<int:pk>/change/", ground.ChangeSpecies.as_view(), name="change_species"),
    path("varieties/", ground.Varieties.as_view(), name="varieties"),
    path("varieties/add/", ground.AddVariety.as_view(), name="add_variety"),
    path("varieties/<int:pk>/", ground.variety, name="variety"),
    path("varieties/<int:pk>/change/", ground.ChangeVariety.as_view(), name="change_variety"),
    path("plantings/", plantings.Plantings.as_view(), name="plantings"),
    path("plantings/plant/", plantings.Plant.as_view(), name="plant"),
    path("plantings/<int:pk>/", plantings.planting, name="planting"),
    path("plantings/<int:pk>/expect/", plantings.Expect.as_view(), name="expect"),
    path("plantings/<int:pk>/clear/", plantings.Clear.as_view(), name="clear"),
    path("plantings/<int:pk>/undo/", plantings.UndoPlanting.as_view(), name="undo_planting"),
    path("plantings/<int:pk>/gone-over/", plantings.NoteGoneOver.as_view(), name="note_gone_over"),
    path("gone-over/", plantings.AllGoneOver.as_view(), name="gone_over"),
    path("gone-over/<int:pk>/undo/", plantings.UndoGoneOver.as_view(), name="undo_gone_over"),
    path("expectations/<int:pk>/undo/", plantings.UndoExpectation.as_view(), name="undo_expectation"),
    path("clearings/<int:pk>/undo/", plantings.UndoClearing.as_view(), name="undo_clearing"),
    path("lots/", lots.Lots.as_view(), name="lots"),
    path("lots/cut/", lots.Cut.as_view(), name="cut"),
    path("lots/cut-round/", rounds.CutRound.as_view(), name="cut_round"),
    path("lots/<int:pk>/", lots.lot, name="lot"),
    path("lots/<int:pk>/throw-out/", lots.ThrowOut.as_view(), name="throw_out"),
    path("lots/<int:pk>/draw/", lots.DrawStems.as_view(), name="draw_stems"),
    path("lots/<int:pk>/undo/", lots.UndoLot.as_view(), name="undo_lot"),
    path("partings/", lots.Partings.as_view(), name="partings"),
    path("partings/<int:pk>/undo/", lots.UndoParting.as_view(), name="undo_parting"),
]
