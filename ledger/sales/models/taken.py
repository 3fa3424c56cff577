"""What was taken for a job or a workshop, from boxes or from water, and what of it came back."""

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from ledger.facts.models import Fact
from ledger.growing.models import Parting
from ledger.stock.models import HoldChange, Line, Movement

from .jobs import Job
from .workshops import Workshop


class Taken(Fact):
    """Bunches of one line, or fresh stems of one lot (`parting`), taken for a job or a workshop on a day.

    They leave the stock as sold. `quantity`: bunches, or stems. `used`: what of the job's hold went with them.
    """

    job = models.ForeignKey(Job, models.PROTECT, null=True, blank=True, related_name="taken")
    workshop = models.ForeignKey(Workshop, models.PROTECT, null=True, blank=True, related_name="taken")
    line = models.ForeignKey(Line, models.PROTECT, null=True, blank=True, related_name="taken_for_work")
    parting = models.OneToOneField(Parting, models.PROTECT, null=True, blank=True, related_name="taken_for_work")
    quantity = models.PositiveIntegerField(_("how many"), validators=[MinValueValidator(1), MaxValueValidator(1_000_000)])
    used = models.OneToOneField(HoldChange, models.PROTECT, null=True, blank=True, related_name="taken_for_work")

    class Meta(Fact.Meta):
        abstract = False
        verbose_name_plural = _("taken for jobs and workshops")
        constraints = [
            *Fact.Meta.constraints,
            models.CheckConstraint(
                condition=Q(job__isnull=False, workshop__isnull=True) | Q(job__isnull=True, workshop__isnull=False),
                name="taken_for_job_or_workshop",
            ),
            models.CheckConstraint(
                condition=Q(line__isnull=False, parting__isnull=True) | Q(line__isnull=True, parting__isnull=False),
                name="taken_dried_or_fresh",
            ),
            models.CheckConstraint(condition=Q(quantity__gte=1), name="taken_some"),
            models.CheckConstraint(
                condition=Q(used__isnull=True) | Q(job__isnull=False, line__isnull=False), name="taken_used_of_job"
            ),
        ]

    def __str__(self) -> str:
        return str(_("%(quantity)d of %(what)s for %(work)s")) % {
            "quantity": self.quantity, "what": self.line or self.parting.lot, "work": self.work,  # type: ignore[union-attr]
        }

    def get_absolute_url(self) -> str:
        return self.work.get_absolute_url()

    @property
    def work(self) -> Job | Workshop:
        """The job or the workshop it was taken for."""
        found = self.job or self.workshop
        assert found is not None
        return found


class TakenRow(models.Model):
    """One row of the stock book that took bunches for a job or a workshop."""

    part_of = "taken"
    taken = models.ForeignKey(Taken, models.PROTECT, related_name="rows")
    movement = models.OneToOneField(Movement, models.PROTECT, related_name="taken_row")

    class Meta:
        ordering = ["pk"]


class CameBack(Fact):
    """Bunches taken for a job or a workshop that came back; each row of the stock book brings back its own cost."""

    taken = models.ForeignKey(Taken, models.PROTECT, related_name="came_back")
    quantity = models.PositiveIntegerField(_("how many"), validators=[MinValueValidator(1), MaxValueValidator(100_000)])

    class Meta(Fact.Meta):
        abstract = False
        verbose_name_plural = _("came back from jobs and workshops")
        constraints = [
            *Fact.Meta.constraints,
            models.CheckConstraint(condition=Q(quantity__gte=1), name="came_back_some"),
        ]

    def __str__(self) -> str:
        return str(_("%(quantity)d back of %(taken)s")) % {"quantity": self.quantity, "taken": self.taken}

    def get_absolute_url(self) -> str:
        return self.taken.get_absolute_url()


class CameBackRow(models.Model):
    """One row of the stock book that brought bunches back."""

    part_of = "came_back"
    came_back = models.ForeignKey(CameBack, models.PROTECT, related_name="rows")
    movement = models.OneToOneField(Movement, models.PROTECT, related_name="came_back_row")

    class Meta:
        ordering = ["pk"]
