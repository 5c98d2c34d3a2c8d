"""Reads of the whole desk: the season line, what wants doing today, and the search."""

from .search import Hit, search
from .season_line import season_line
from .today import Item, first_steps, today_items

__all__ = ["Hit", "Item", "first_steps", "search", "season_line", "today_items"]
