"""The one kind of error that a page shows to the person who caused it."""


class RuleBroken(Exception):
    """A rule of the trade or of the books refuses the act; the message is fit to show and says what to do."""
