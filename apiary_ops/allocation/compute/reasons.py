"""The sentence beside every outcome and every refused pin, for growers to read and to tell."""

from datetime import date

from apiary_ops.allocation.compute.rows import Demand, Pin
from apiary_ops.allocation.compute.sharing import Place
from apiary_ops.kernel.weeks import Week


def given(line: Demand, week: date, kind: str, told: Place | None) -> str:
    """Why the line has all its nucs in this week and kind; `told` is the best place in the week told, as it stood."""
    own = kind == line.kinds[0]
    instead = "" if own else f" in {kind}, because {line.kinds[0]} ran short"
    if week == line.told_week:
        return f"Given the week it was told{instead}."
    if line.told_week:
        missing = f"the week told had {_stood(told)}" if told else "the week told is not one it can take"
        return f"Moved to the {_label(week)}{'' if own else f' in {kind}'}: {missing}."
    if not own:
        return f"Given the {_label(week)}{instead}."
    first = "earliest it can take" if week == line.earliest_week else f"first with all {line.quantity} free"
    return f"Given the {_label(week)}, the {first}."


def given_in_parts(parts: int, first_week: date) -> str:
    """Why a line of part loads, served in full, comes in several parts."""
    return f"Given in {parts} part loads, the first in the {_label(first_week)}."


def pinned(line: Demand, pin: Pin) -> str:
    """Why a pinned line stands where it does."""
    return f"Pinned to the {_label(pin.week)}{'' if pin.kind == line.kinds[0] else f' in {pin.kind}'}."


def short_of_whole(line: Demand, best: Place | None) -> str:
    """Why a line that travels whole gets nothing; `best` is the fullest place it could have had."""
    if best is None:
        return f"Short of {line.quantity}: there is no week it can take."
    if best.room:
        return f"Short of {line.quantity}: it goes whole, and the best of its weeks had {_stood(best)}."
    return f"Short of {line.quantity}: its weeks had {_stood(best)}."


def short_of_parts(line: Demand, short: int) -> str:
    """Why a line of part loads does not get all."""
    covered = f"only {line.quantity - short}" if short < line.quantity else "none"
    return f"Short of {short}: of {line.quantity} asked, {covered} could be covered in its weeks."


def pin_without_line() -> str:
    """Why a pin for a line that is not there is refused."""
    return "There is no such line to pin."


def pin_repeated(kept_week: date) -> str:
    """Why a second pin on a line is refused."""
    return f"The line is already pinned to the {_label(kept_week)}."


def pin_of_other_kind(line: Demand, pin: Pin) -> str:
    """Why a pin in a kind that the line does not accept is refused."""
    return f"The line takes {' or '.join(line.kinds)}, not {pin.kind}."


def pin_outside_weeks(line: Demand) -> str:
    """Why a pin outside the weeks of the line is refused."""
    return f"The line can go from the {_label(line.earliest_week)} to the {_label(line.latest_week)} only."


def pin_uncovered(line: Demand, pin: Pin, place: Place) -> str:
    """Why a pin that the supply does not cover beside the pins before it is refused."""
    return f"The line needs {line.quantity}, and the {_label(pin.week)} had {_stood(place, 'pins')}."


def _stood(place: Place, before: str = "lines") -> str:
    """How a place stood, whose `room` must be exact."""
    count = f"only {place.room}" if place.room else "nothing"
    return f"{count} ready" if place.room == place.ready else f"{count} left after the {before} before it"


def _label(week: date) -> str:
    return Week(week).label
