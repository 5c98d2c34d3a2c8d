"""What the margin page shows: kinds side by side, the way from price to margin, and what is not charged."""

from .figures import Figure, break_even_lines, figures
from .kinds import ExpenseTable, KindTable, expense_table, kind_table
from .ways import BAR_WIDTH, HowLine, Way, WayRow, how_lines, ways

__all__ = [
    "BAR_WIDTH",
    "Figure",
    "HowLine",
    "KindTable",
    "ExpenseTable",
    "Way",
    "WayRow",
    "break_even_lines",
    "figures",
    "how_lines",
    "kind_table",
    "expense_table",
    "ways",
]
