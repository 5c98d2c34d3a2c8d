"""Parts of the capacity page as its components take them: figures, and how a number comes about."""

from dataclasses import dataclass
from datetime import date
from typing import Any

from django.http import HttpRequest
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from apiary_ops.core.days import spoken_day
from apiary_ops.core.panels import Panel
from apiary_ops.core.shell import Figure

from . import compute
from .queries import KindCapacity, LatestForecast, SwarmWatch, binding_weeks, own_factors


@dataclass(frozen=True, slots=True)
class HowLine:
    """One line of components/_how.html."""

    label: str
    value: Any
    unit: str = ""
    note: str = ""
    is_total: bool = False


@dataclass(frozen=True, slots=True)
class WeekRow:
    """What could be made by the end of a week, and what binds it."""

    week: date
    low: int
    middle: int
    high: int
    middle_alone: int
    resource: str
    nucs: int
    adds: int | None
    next_resource: str


def week_rows(forecast: LatestForecast, capacity: KindCapacity) -> list[WeekRow]:
    """The weeks of a kind with what binds each."""
    bound = {row.week: row for row in binding_weeks(forecast, capacity)}
    return [
        WeekRow(
            week=row.week,
            low=row.low,
            middle=row.middle,
            high=row.high,
            middle_alone=row.middle_alone,
            resource=bound[row.week].resource,
            nucs=bound[row.week].nucs,
            adds=bound[row.week].adds,
            next_resource=bound[row.week].next_resource,
        )
        for row in capacity.weeks
    ]


def kind_figures(kinds: list[KindCapacity], chosen: KindCapacity) -> list[Figure]:
    """One figure a kind, from a late to an early spring, which opens the kind's weeks."""
    return [
        Figure(
            label=row.kind.name,
            value=f"{row.low}–{row.high}",
            note=_kind_note(row, is_chosen=row is chosen),
            url=f"{reverse('capacity:overview')}?kind={row.kind.code}",
        )
        for row in kinds
    ]


def _kind_note(row: KindCapacity, *, is_chosen: bool) -> str:
    said = _("%(middle)s in a middle spring") % {"middle": row.middle}
    return _("%(said)s; shown below") % {"said": said} if is_chosen else said


def how_capacity(forecast: LatestForecast, capacity: KindCapacity) -> list[HowLine]:
    """Where the season's figure of a kind comes from, line by line."""
    used, kind = forecast.assumptions, capacity.kind
    last = capacity.weeks[-1] if capacity.weeks else None
    frames = _("frames")
    spring = _("late %(low)s, middle %(middle)s, early %(high)s") % {
        "low": _days(used["low_shift_days"]),
        "middle": _days(used["middle_shift_days"]),
        "high": _days(used["high_shift_days"]),
    }
    lines = [
        HowLine(_("Colonies that count"), forecast.colonies_counted, note=_looked(forecast)),
        *_depths(forecast),
        HowLine(_("A parent keeps"), _pair(used["keep_bees_frames"], used["keep_brood_frames"]), frames),
        HowLine(_("One nuc takes"), _pair(kind.make_up_bees, kind.make_up_brood), frames, _("sealed brood only")),
        HowLine(_("Spring, days behind the published curve"), spring, note=_("an assumption, below")),
    ]
    if last is None:
        return lines
    return [
        *lines,
        HowLine(_("Each colony alone, middle spring"), last.middle_alone, _("nucs")),
        HowLine(_("Pooled within each yard, middle spring"), last.middle, _("nucs"), is_total=True),
        HowLine(
            _("Of these still laying at sale"),
            capacity.could_sell(last.middle),
            _("nucs"),
            _rate(kind.queen_laying_rate),
        ),
    ]


def how_swarms(watch: SwarmWatch) -> list[HowLine]:
    """What the swarm watch rests on, line by line; none of it is measured here."""
    common = _("common practice")
    return [
        HowLine(_("Colonies watched"), watch.watched, note=_("counted this spring, whatever they are kept for")),
        HowLine(_("A single box is full at"), "7.5", _("frames of brood"), common),
        HowLine(_("A double is full at"), "15", _("frames of bees"), common),
        HowLine(_("Cells are looked for every"), watch.every_days, _("days"), _("7 to 9 days, common practice")),
        HowLine(_("A swarm takes"), _("half the bees"), "", common),
        HowLine(_("Nothing is laid for"), 21, _("days"), _("three to four weeks of brood, common practice")),
        HowLine(
            _("It costs"),
            watch.kind or "–",
            "",
            _("the best week to come with and without the swarm, each colony by itself in a middle spring"),
            is_total=True,
        ),
    ]


def pictures(weeks: list[compute.SaleWeek]) -> list[tuple[str, compute.Picture]]:
    """Capacity against promises drawn twice, wide for a desk and narrow for a telephone; one of them shows."""
    words = {"early": _("early spring"), "middle": _("middle"), "late": _("late spring"), "promised": _("promised")}
    drawn = [(name, compute.draw(weeks, words, is_narrow=name == "narrow")) for name in ("wide", "narrow")]
    return [(name, picture) for name, picture in drawn if picture]


def left_out_rows(forecast: LatestForecast) -> list[dict[str, Any]]:
    """Reasons with their number of colonies, the most first."""
    ranked = sorted(forecast.colonies_left_out.items(), key=lambda item: (-item[1], item[0]))
    return [{"reason": reason[0].upper() + reason[1:], "colonies": colonies} for reason, colonies in ranked]


def _looked(forecast: LatestForecast) -> str:
    if forecast.last_looked_on is None:
        return ""
    return _("latest look %(day)s") % {"day": spoken_day(forecast.last_looked_on)}


def _depths(forecast: LatestForecast) -> list[HowLine]:
    """How many count by what their yard told; nothing while every colony was looked at."""
    wide = _("their spread makes a late spring lower and an early one higher")
    told = [(_("Of these by a sample"), forecast.by_sample), (_("Of these by a tally"), forecast.by_tally)]
    return [HowLine(label, colonies, note=wide) for label, colonies in told if colonies]


def _pair(bees: Any, brood: Any) -> str:
    return _("%(bees)s of bees, %(brood)s of brood") % {"bees": f"{bees:g}", "brood": f"{brood:g}"}


def _rate(share: Any) -> str:
    return _("%(percent)s %% of queens, by kind") % {"percent": f"{100 * share:.3g}"}


def _days(days: int) -> str:
    return f"{days:+d}".replace("-", "−") if days else "0"


def own_pairs(request: HttpRequest, record: Any) -> Panel | None:
    """On the page of rules: one line when own pairs of counts speak for another factor."""
    offered = sum(own.is_offered for own in own_factors(request.season.pk, request.today))
    if not offered:
        return None
    note = ngettext(
        "Your own pairs of counts speak for another factor in %(bands)s band.",
        "Your own pairs of counts speak for other factors in %(bands)s bands.",
        offered,
    )
    return Panel(
        key="own-pairs",
        heading=_("Own factors"),
        template="",
        note=note % {"bands": offered},
        url=reverse("capacity:own-factors"),
        label=_("See what they say"),
    )
