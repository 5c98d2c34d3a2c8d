"""Visits: trips to a yard, the parent of whatever was seen, done and used there."""

from django.conf import settings
from django.core.validators import MinValueValidator
from django.db import models
from django.db.models import F, Q
from django.utils.translation import gettext_lazy as _
from simple_history.models import HistoricalRecords

from apiary_ops.business.models import Season
from apiary_ops.core.models import Versioned

from .colonies import Colony
from .places import Yard

SKIES = [("sun", _("sun")), ("cloud", _("cloud")), ("rain", _("rain")), ("wind", _("wind"))]
KINDS_OF_WORK = [
    ("look", _("look")),
    ("split", _("split day")),
    ("feed", _("feeding")),
    ("check", _("nuc checks")),
    ("treat", _("treatment")),
    ("other", _("other")),
]
JOBS = [
    ("look", _("looked")),
    ("split", _("split")),
    ("feed", _("fed")),
    ("check", _("checked nucs")),
    ("treat", _("treated")),
    ("strips", _("pulled strips")),
    ("boxes", _("put boxes on or took them off")),
    ("frames", _("moved frames")),
    ("hives", _("moved hives")),
    ("fence", _("saw to the fence")),
    ("mow", _("mowed")),
    ("other", _("other")),
]
# What is used up in a yard, with the unit it is counted in.
MATERIALS = [
    ("syrup", _("syrup, L")),
    ("patty", _("patties")),
    ("fondant", _("fondant, kg")),
    ("strips", _("strips")),
    ("pads", _("formic pads")),
    ("oxalic", _("oxalic acid, doses")),
    ("boxes", _("boxes")),
    ("comb", _("drawn combs")),
    ("foundation", _("foundation")),
    ("other", _("other, pieces")),
]


class Visit(Versioned):
    """A trip to a yard: who, when, weather, minutes and km; the parent of what was recorded there."""

    class View(models.TextChoices):
        BELOW = "below", _("from below")
        ABOVE = "above", _("from above")
        BOTH = "both", _("both ways")

    class Depth(models.TextChoices):
        EACH = "each", _("each colony")
        SAMPLE = "sample", _("a sample")
        TALLY = "tally", _("a tally of the yard")

    season = models.ForeignKey(Season, on_delete=models.PROTECT, related_name="+")
    yard = models.ForeignKey(Yard, on_delete=models.PROTECT, related_name="visits")
    on = models.DateField(_("day"), db_column="visited_on")
    arrived_at = models.TimeField(_("arrived"), null=True, blank=True)
    left_at = models.TimeField(_("left"), null=True, blank=True)
    crew = models.ManyToManyField(settings.AUTH_USER_MODEL, related_name="visits", verbose_name=_("crew"), blank=True)
    people = models.PositiveSmallIntegerField(_("people"), default=1)
    minutes = models.PositiveSmallIntegerField(_("minutes at the yard"), default=0)
    km = models.PositiveSmallIntegerField(_("km driven"), default=0)
    temperature_c = models.DecimalField(_("temperature, °C"), max_digits=4, decimal_places=1, null=True, blank=True)
    sky = models.CharField(_("sky"), max_length=6, blank=True, choices=SKIES)
    work = models.CharField(_("work"), max_length=8, default="look", choices=KINDS_OF_WORK)
    depth = models.CharField(_("looked at"), max_length=6, choices=Depth.choices, default=Depth.EACH)
    # How this crew counts today; each look may still hold either count.
    view = models.CharField(_("frames counted"), max_length=5, choices=View.choices, default=View.BELOW)
    notes = models.TextField(_("notes"), max_length=1000, blank=True)
    recorded_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")

    history = HistoricalRecords()

    class Meta:
        constraints = [
            models.CheckConstraint(
                name="visit_temperature_is_weather",
                condition=Q(temperature_c__isnull=True) | Q(temperature_c__range=(-30, 45)),
                violation_error_message=_("The temperature must lie between −30 and 45 °C."),
            ),
            models.CheckConstraint(name="visit_has_people", condition=Q(people__range=(1, 20))),
            models.CheckConstraint(
                name="a_visit_ends_after_it_begins",
                condition=Q(arrived_at__isnull=True) | Q(left_at__isnull=True) | Q(left_at__gte=F("arrived_at")),
                violation_error_message=_("The crew cannot leave before it arrives."),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.yard_id} {self.on}"


class JobDone(models.Model):
    """A job done on a visit, besides its main work."""

    visit = models.ForeignKey(Visit, on_delete=models.CASCADE, related_name="jobs_done")
    job = models.CharField(_("job"), max_length=8, choices=JOBS)

    class Meta:
        constraints = [models.UniqueConstraint(fields=["visit", "job"], name="one_mention_of_a_job_a_visit")]

    def __str__(self) -> str:
        return str(self.get_job_display())


class MaterialUse(models.Model):
    """What was used up on a visit; stock and feed cost are drawn from it."""

    visit = models.ForeignKey(Visit, on_delete=models.PROTECT, related_name="materials")
    colony = models.ForeignKey(Colony, on_delete=models.PROTECT, null=True, blank=True, related_name="materials")
    material = models.CharField(_("material"), max_length=10, choices=MATERIALS)
    quantity = models.DecimalField(_("quantity"), max_digits=8, decimal_places=2, validators=[MinValueValidator(0)])
    note = models.CharField(_("note"), max_length=120, blank=True)

    history = HistoricalRecords()

    class Meta:
        constraints = [
            models.CheckConstraint(
                name="used_material_is_something",
                condition=Q(quantity__gt=0),
                violation_error_message=_("Say how much was used, more than 0."),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.get_material_display()}: {self.quantity}"
