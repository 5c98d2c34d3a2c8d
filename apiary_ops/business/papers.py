"""The business's own head, words and dates for every paper."""

from dataclasses import replace
from datetime import date

from django.utils.formats import date_format

from apiary_ops.papers import PaperHeader, Words, current_words

from .models import Business


def paper_day(day: date) -> str:
    """A day as papers write it, with its weekday: "Wed 12 May 2027"."""
    return date_format(day, "D j M Y")


def paper_header(business: Business) -> PaperHeader:
    """The letterhead, the cautions and the paper size that the settings say."""
    return PaperHeader(
        business_name=business.name,
        address_lines=tuple(business.address_lines),
        contact_line=" · ".join(part for part in (business.phone, business.email) if part),
        cautions=tuple(business.caution_lines),
        page_size="Letter" if business.paper == Business.Paper.LETTER else "A4",
    )


def paper_words(business: Business) -> Words:
    """The fixed words of a paper in the reader's language, with days written as the business writes them."""
    return replace(current_words(), date_text=paper_day)
