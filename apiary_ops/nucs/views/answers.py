"""The answers that several of these doors give."""

from django.forms import Form

from apiary_ops.kernel.refusals import RuleBroken
from apiary_ops.nucs import services
from apiary_ops.queens.services import NotLandedYet, QueensNotThere

# The field beside which a refusal is shown; where the form has none of them, it stands above the form.
_BESIDE: dict[type[RuleBroken], tuple[str, ...]] = {
    services.SplitDayThere: ("on",),
    services.OutsideSeason: ("on",),
    services.NoNucsAsked: ("size",),
    services.MadeBeforeSplitDay: ("made_on",),
    services.WhichLot: ("lot",),
    services.YardOnHold: ("stands_at",),
    services.QueenTooEarly: ("queen_in_on", "on"),
    services.EndedTooEarly: ("on",),
    services.CauseMissing: ("cause", "reason"),
    services.KindExists: ("code",),
    QueensNotThere: ("lot",),
    NotLandedYet: ("queen_in_on", "on"),
}


def refuse(form: Form, refusal: RuleBroken) -> None:
    """Show a refusal beside its field."""
    field = next((name for name in _BESIDE.get(type(refusal), ()) if name in form.fields), None)
    form.add_error(field, str(refusal))
