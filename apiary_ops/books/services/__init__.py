"""The only doors through which the books grow."""

from apiary_ops.books.compute import EntryDraft, Posting

from .chart import install_chart
from .closing import NothingToClose, YearNotOpened, close_fiscal_year
from .numbers import next_number
from .periods import FiscalYearExists, PeriodAlreadyLocked, lock_period, open_fiscal_year
from .posting import (
    AlreadyPosted,
    AlreadyReversed,
    CameFromElsewhere,
    IsAReversal,
    NoPeriod,
    NothingToPost,
    PeriodLocked,
    Unbalanced,
    UnknownAccount,
    post_by_hand,
    post_entries,
    post_entry,
    reverse_by_hand,
    reverse_entry,
)

__all__ = [
    "AlreadyPosted",
    "AlreadyReversed",
    "CameFromElsewhere",
    "EntryDraft",
    "FiscalYearExists",
    "IsAReversal",
    "NoPeriod",
    "NothingToClose",
    "NothingToPost",
    "PeriodAlreadyLocked",
    "PeriodLocked",
    "Posting",
    "Unbalanced",
    "UnknownAccount",
    "YearNotOpened",
    "close_fiscal_year",
    "install_chart",
    "lock_period",
    "next_number",
    "open_fiscal_year",
    "post_by_hand",
    "post_entries",
    "post_entry",
    "reverse_by_hand",
    "reverse_entry",
]
