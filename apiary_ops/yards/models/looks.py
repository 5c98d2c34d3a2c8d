"""Looks of colonies and tallies of yards: what was seen."""

from django.conf import settings
from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _
from simple_history.models import HistoricalRecords

from apiary_ops.core.models import Versioned
from apiary_ops.sheets.models import ImportRun

from .colonies import Colony
from .visits import Visit

PATTIES = [("gone", _("gone")), ("half", _("half")), ("plenty", _("plenty"))]


class Look(Versioned):
    """What one person saw of one colony on one visit. Frames are in halves; nothing seen is null, never 0."""

    class LowerBox(models.TextChoices):
        EMPTY = "empty", _("empty")
        FEW = "few", _("a few")
        SPILLING = "spilling", _("spilling down")
        BROOD = "brood", _("brood")

    class Queen(models.TextChoices):
        NOT_LOOKED = "", _("not looked")
        SEEN = "seen", _("seen or eggs seen")
        QUEENLESS = "none", _("queenless")
        SPOTTY = "spotty", _("spotty brood")
        DRONES = "drones", _("drone layer")

    class Cells(models.TextChoices):
        NOT_LOOKED = "", _("not looked")
        NONE = "none", _("none")
        SEEN = "seen", _("cells left")
        CUT = "cut", _("cells cut out")
        SWARMED = "swarmed", _("swarmed")

    class Heft(models.TextChoices):
        NOT_LOOKED = "", _("not lifted")
        LIGHT = "light", _("light")
        FAIR = "fair", _("fair")
        HEAVY = "heavy", _("heavy")

    visit = models.ForeignKey(Visit, on_delete=models.PROTECT, related_name="looks")
    colony = models.ForeignKey(Colony, on_delete=models.PROTECT, related_name="looks")
    # Frames of bees reaching the bottom bars of the upper box, in half frames.
    below_halves = models.PositiveSmallIntegerField(_("from below, half frames"), null=True, blank=True)
    above_halves = models.PositiveSmallIntegerField(_("from above, half frames"), null=True, blank=True)
    flying = models.BooleanField(_("flying"), default=False)
    lower_box = models.CharField(_("lower box"), max_length=8, blank=True, choices=LowerBox.choices)
    sealed_halves = models.PositiveSmallIntegerField(_("sealed brood, half frames"), null=True, blank=True)
    queen = models.CharField(_("queen"), max_length=6, blank=True, choices=Queen.choices)
    patty = models.CharField(_("patty left"), max_length=6, blank=True, choices=PATTIES)
    cells = models.CharField(_("queen cells"), max_length=7, blank=True, choices=Cells.choices)
    heft = models.CharField(_("heft"), max_length=5, blank=True, choices=Heft.choices)
    suspect_disease = models.BooleanField(_("disease suspected"), default=False)
    # Done while the lid was off.
    strips_pulled = models.BooleanField(_("strips pulled"), default=False)
    lower_box_off = models.BooleanField(_("lower box taken off"), default=False)
    patty_given = models.BooleanField(_("patty given"), default=False)
    broken_frame = models.BooleanField(_("broken frame"), default=False)
    note = models.CharField(_("note"), max_length=300, blank=True)
    observed_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )
    observed_at = models.DateTimeField(_("seen at"), null=True, blank=True)
    import_run = models.ForeignKey(ImportRun, on_delete=models.PROTECT, null=True, blank=True, related_name="+")

    history = HistoricalRecords()

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["visit", "colony"], name="one_look_of_a_colony_a_visit"),
            models.CheckConstraint(
                name="a_look_fits_the_boxes",
                condition=(Q(below_halves__isnull=True) | Q(below_halves__lte=40))
                & (Q(above_halves__isnull=True) | Q(above_halves__lte=40))
                & (Q(sealed_halves__isnull=True) | Q(sealed_halves__lte=40)),
                violation_error_message=_("A colony has at most 20 frames of bees or brood."),
            ),
        ]

    def __str__(self) -> str:
        return f"look at {self.colony_id}"

    @property
    def noted(self) -> str:
        """What was seen and done besides the counts, in words."""
        said = [
            _("disease suspected") if self.suspect_disease else "",
            _("queen or eggs seen")
            if self.queen == self.Queen.SEEN
            else self.get_queen_display()
            if self.queen
            else "",
            _("queen cells: %(state)s") % {"state": self.get_cells_display()} if self.cells else "",
            _("lower box: %(state)s") % {"state": self.get_lower_box_display()} if self.lower_box else "",
            _("patty: %(state)s") % {"state": self.get_patty_display()} if self.patty else "",
            self.get_heft_display() if self.heft else "",
            _("bees flying") if self.flying else "",
            _("strips pulled") if self.strips_pulled else "",
            _("lower box taken off") if self.lower_box_off else "",
            _("patty given") if self.patty_given else "",
            _("broken frame") if self.broken_frame else "",
            self.note,
        ]
        return "; ".join(str(words) for words in said if words)


class Tally(Versioned):
    """A yard counted up by eye on one visit: how many of each grade, and how many dead."""

    visit = models.OneToOneField(Visit, on_delete=models.PROTECT, related_name="tally")
    dead = models.PositiveSmallIntegerField(_("dead"), default=0)

    history = HistoricalRecords()

    def __str__(self) -> str:
        return f"tally of visit {self.visit_id}"


class TallyCount(models.Model):
    """Colonies of one grade in a tally, by the grower's own words for grades."""

    tally = models.ForeignKey(Tally, on_delete=models.PROTECT, related_name="counts")
    grade = models.CharField(_("grade"), max_length=20)
    colonies = models.PositiveSmallIntegerField(_("colonies"))

    history = HistoricalRecords()

    class Meta:
        constraints = [models.UniqueConstraint(fields=["tally", "grade"], name="one_count_a_grade_of_a_tally")]

    def __str__(self) -> str:
        return f"{self.colonies} {self.grade}"
