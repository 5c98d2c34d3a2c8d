"""The grower's rules and assumptions: factors, grades, and what makes a task."""

from django.conf import settings
from django.core.validators import MaxValueValidator
from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _
from simple_history.models import HistoricalRecords

from apiary_ops.core.models import Versioned


class Factor(models.Model):
    """Brings a count of one view and temperature band to the footing: cool, not flying, counted from below."""

    view = models.CharField(_("view"), max_length=5, choices=[("below", _("from below")), ("above", _("from above"))])
    warmer_than_c = models.DecimalField(_("from °C"), max_digits=4, decimal_places=1)
    factor = models.DecimalField(_("factor"), max_digits=4, decimal_places=3)
    valid_from = models.DateField(_("valid from"))
    source = models.CharField(_("source"), max_length=200)
    stated_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["view", "warmer_than_c", "valid_from"], name="one_factor_a_band_and_day"),
            models.CheckConstraint(name="factor_scales_down", condition=Q(factor__gt=0, factor__lte=1)),
        ]

    def __str__(self) -> str:
        return f"{self.view} from {self.warmer_than_c} °C × {self.factor}"


class GradeRule(models.Model):
    """One of the grower's rules, in order: the first that matches names the grade. Rules are dated, never changed."""

    valid_from = models.DateField(_("valid from"))
    place = models.PositiveSmallIntegerField(_("order"))
    grade = models.CharField(_("grade"), max_length=20)
    least_frames = models.DecimalField(_("strength from, frames"), max_digits=4, decimal_places=1, default=0)
    least_sealed_frames = models.DecimalField(
        _("sealed brood from, frames"), max_digits=4, decimal_places=1, null=True, blank=True
    )
    gives_nucs = models.BooleanField(_("counts for nucs"), default=True)
    source = models.CharField(_("source"), max_length=200, blank=True)
    stated_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["valid_from", "place"], name="one_grade_rule_a_place"),
            models.CheckConstraint(name="grade_rule_strength_is_frames", condition=Q(least_frames__range=(0, 20))),
        ]

    def __str__(self) -> str:
        return f"{self.grade} from {self.least_frames} frames"


class TaskRule(Versioned):
    """When what was seen or given makes a task of itself, and by when."""

    class Code(models.TextChoices):
        LOWER_BOX = "lower_box", _("lower box off")
        STRIPS = "strips", _("strips out")
        REQUEEN = "requeen", _("requeen")
        PATTY = "patty", _("patty")
        CELLS = "cells", _("cell check")

    code = models.CharField(_("task"), max_length=10, choices=Code.choices, unique=True)
    is_on = models.BooleanField(_("in use"), default=True)
    days = models.PositiveSmallIntegerField(_("due within, days"), default=7, validators=[MaxValueValidator(60)])
    most_frames = models.DecimalField(
        _("only up to, frames of bees"), max_digits=4, decimal_places=1, null=True, blank=True
    )
    source = models.CharField(_("source"), max_length=200, blank=True)

    history = HistoricalRecords()

    class Meta:
        constraints = [
            models.CheckConstraint(name="a_task_rule_falls_due_within_60_days", condition=Q(days__lte=60)),
            models.CheckConstraint(
                name="a_task_rule_asks_for_frames",
                condition=Q(most_frames__isnull=True) | Q(most_frames__range=(0, 20)),
                violation_error_message=_("Between 0 and 20 frames."),
            ),
        ]

    def __str__(self) -> str:
        return str(self.get_code_display())
