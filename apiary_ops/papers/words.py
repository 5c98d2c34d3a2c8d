"""The few words that every paper prints by itself."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date


@dataclass(frozen=True, slots=True)
class Words:
    """Fixed words of a paper in one language, and the way the business writes a date."""

    page: str = "Page {page} of {pages}"
    printed: str = "Printed {date}"
    cautions: str = "Mind this"
    language: str = "en"
    date_text: Callable[[date], str] = date.isoformat


def current_words() -> Words:
    """Words in the language of the person asking; English where Django is not set up."""
    from django.conf import settings
    from django.utils.translation import get_language
    from django.utils.translation import gettext as _

    if not settings.configured:
        return Words()
    return Words(
        page=_("Page {page} of {pages}"),
        printed=_("Printed {date}"),
        cautions=_("Mind this"),
        language=get_language() or "en",
    )
