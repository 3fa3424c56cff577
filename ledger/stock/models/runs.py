"""Runs: what went in, and the batches that came out."""

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import Q
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from ledger.drying.models import Hanging, Oddments
from ledger.facts.models import CostObject, Fact
from ledger.growing.models import Parting
from ledger.stock.queries.sets import BatchQuerySet, RunInputQuerySet, RunQuerySet

from .lines import Line


class Run(Fact):
    """What went in one day and what was made of it: bunched, reworked, made up, or bought in.

    `lost`: stems lost on the way. Its inputs are loose stems, its `drawn` rows
    of the stock book the bunches it used; a bought-in run has neither.
    """

    class Kind(models.TextChoices):
        BUNCHING = "bunching", _("bunched")
        REWORK = "rework", _("reworked")
        MAKING_UP = "making_up", _("made up")
        BOUGHT_IN = "bought_in", _("bought in")

    cost_object = models.OneToOneField(CostObject, models.PROTECT, primary_key=True, related_name="run")
    kind = models.CharField(_("kind"), max_length=9, choices=Kind, default=Kind.BUNCHING)
    lost = models.PositiveIntegerField(_("stems lost"), default=0)
    note = models.CharField(_("note"), max_length=200, blank=True)

    objects = RunQuerySet.as_manager()

    class Meta(Fact.Meta):
        abstract = False
        constraints = [
            *Fact.Meta.constraints,
            models.CheckConstraint(
                condition=Q(kind__in=["bunching", "rework", "making_up", "bought_in"]), name="run_kind_known"
            ),
        ]

    def __str__(self) -> str:
        said = {
            "bunching": _("Bunching run %(key)s of %(on)s"), "rework": _("Rework %(key)s of %(on)s"),
            "making_up": _("Making up %(key)s of %(on)s"), "bought_in": _("Bought in %(key)s on %(on)s"),
        }
        return str(said[self.kind]) % {"key": self.pk, "on": self.on}

    def get_absolute_url(self) -> str:
        return reverse("stock:run", args=[self.pk])


class RunInput(models.Model):
    """Loose stems used by a run: sound ones of a hanging, stems cut dry or fresh (a parting), or oddments kept."""

    part_of = "run"
    run = models.ForeignKey(Run, models.PROTECT, related_name="inputs")
    hanging = models.ForeignKey(Hanging, models.PROTECT, null=True, blank=True, related_name="run_inputs")
    parting = models.ForeignKey(Parting, models.PROTECT, null=True, blank=True, related_name="run_inputs")
    oddments = models.ForeignKey(Oddments, models.PROTECT, null=True, blank=True, related_name="run_inputs")
    stems = models.PositiveIntegerField(_("stems"), validators=[MinValueValidator(1)])

    objects = RunInputQuerySet.as_manager()

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.UniqueConstraint(fields=["run", "hanging"], name="run_input_once"),
            models.UniqueConstraint(
                fields=["run", "parting"], condition=Q(parting__isnull=False), name="run_input_parting_once"
            ),
            models.UniqueConstraint(
                fields=["run", "oddments"], condition=Q(oddments__isnull=False), name="run_input_oddments_once"
            ),
            models.CheckConstraint(condition=Q(stems__gte=1), name="run_input_stems_positive"),
            models.CheckConstraint(
                condition=Q(hanging__isnull=False, parting__isnull=True, oddments__isnull=True)
                | Q(hanging__isnull=True, parting__isnull=False, oddments__isnull=True)
                | Q(hanging__isnull=True, parting__isnull=True, oddments__isnull=False),
                name="run_input_of_one_thing",
            ),
        ]

    @property
    def source(self) -> models.Model:
        """The hanging, parting or oddments the stems came from."""
        found = self.hanging or self.parting or self.oddments
        assert found is not None
        return found


class Batch(Fact):
    """What one run made of one line: `made` units out of `stems` stems.

    Where no stems went in (made up, bought in) `stems` is the weight its share
    of the run's cost goes by, `made` where nobody said.
    `unit_value` is the sales value of one unit kept on the day of the split,
    less later cost, in minor units; None shares the run's cost by stems.
    `undone` together with its run only.
    """

    part_of = "run"
    run = models.ForeignKey(Run, models.PROTECT, related_name="batches")
    line = models.ForeignKey(Line, models.PROTECT, related_name="batches")
    made = models.PositiveIntegerField(_("bunches made"), validators=[MinValueValidator(1), MaxValueValidator(1_000_000)])
    stems = models.PositiveIntegerField(_("stems used"), validators=[MinValueValidator(1)])
    unit_value = models.PositiveBigIntegerField(_("value of one when split"), null=True, blank=True)

    objects = BatchQuerySet.as_manager()

    class Meta(Fact.Meta):
        abstract = False
        verbose_name_plural = _("batches")
        constraints = [
            *Fact.Meta.constraints,
            models.CheckConstraint(condition=Q(made__gte=1, stems__gte=1), name="batch_made_positive"),
            models.UniqueConstraint(
                fields=["run", "line"], condition=Q(undone_at__isnull=True), name="batch_line_once_a_run"
            ),
        ]

    def __str__(self) -> str:
        return str(_("%(line)s, batch %(key)s of %(on)s")) % {"line": self.line, "key": self.pk, "on": self.on}

    def get_absolute_url(self) -> str:
        return reverse("stock:batch", args=[self.pk])
