"""The business's own head, words and dates for every paper."""

from dataclasses import replace

from apiary_ops.core.days import spoken_day
from apiary_ops.papers import PaperHeader, Words, current_words

from .models import Business


def paper_header(business: Business) -> PaperHeader:
    """The letterhead, the cautions and the paper size that the settings say."""
    return PaperHeader(
        business_name=business.name,
        address_lines=tuple(business.address_lines),
        contact_line=" · ".join(part for part in (business.phone, business.email) if part),
        cautions=tuple(business.caution_lines),
        page_size="Letter" if business.paper == Business.Paper.LETTER else "A4",
    )


def paper_words() -> Words:
    """The fixed words of a paper in the reader's language, with days written as pages write them."""
    return replace(current_words(), date_text=spoken_day)
