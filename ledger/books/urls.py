"""The addresses of the books."""

from django.urls import path

from .views import bed_plan, bring_in, closing, earnings, fresh_or_dry, job_margin, least, margins, proof, valuation

app_name = "books"
urlpatterns = [
    path("earnings/", earnings.earnings, name="earnings"),
    path("earnings/paper/", earnings.earnings_paper, name="earnings_paper"),
    path("least-stems/", least.AllLeastStems.as_view(), name="least_stems"),
    path("least-stems/set/", least.SetLeastStems.as_view(), name="set_least_stems"),
    path("least-stems/<int:pk>/undo/", least.UndoLeastStems.as_view(), name="undo_least_stems"),
    path("margins/", margins.margins_page, name="margins"),
    path("margins/paper/", margins.margins_paper, name="margins_paper"),
    path("margins/sales/", margins.margin_sales, name="margin_sales"),
    path("jobs/<int:pk>/margin/", job_margin.job_margin_page, name="job_margin"),
    path("jobs/<int:pk>/margin/paper/", job_margin.job_margin_paper, name="job_margin_paper"),
    path("workshops/<int:pk>/margin/", job_margin.workshop_margin_page, name="workshop_margin"),
    path("workshops/<int:pk>/margin/paper/", job_margin.workshop_margin_paper, name="workshop_margin_paper"),
    path("bed-plan/", bed_plan.bed_plan_page, name="bed_plan"),
    path("bed-plan/paper/", bed_plan.bed_plan_paper, name="bed_plan_paper"),
    path("fresh-or-dry/", fresh_or_dry.fresh_or_dry_page, name="fresh_or_dry"),
    path("fresh-or-dry/paper/", fresh_or_dry.fresh_or_dry_paper, name="fresh_or_dry_paper"),
    path("market-days/", margins.market_days_page, name="market_days"),
    path("market-days/paper/", margins.market_days_paper, name="market_days_paper"),
    path("valuation/", valuation.valuation, name="valuation"),
    path("valuation/paper/", valuation.valuation_paper, name="valuation_paper"),
    path("closes/", closing.closes, name="closes"),
    path("closes/close/", closing.Close.as_view(), name="close"),
    path("closes/<int:pk>/reopen/", closing.Reopen.as_view(), name="reopen"),
    path("proof/", proof.proof, name="proof"),
    path("bring-in/", bring_in.BringIn.as_view(), name="bring_in"),
]
