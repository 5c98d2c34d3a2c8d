"""Writes of the field book: records land once, and a person settles what could not."""

from .landing import Outcome, land_records

__all__ = ["Outcome", "land_records"]
