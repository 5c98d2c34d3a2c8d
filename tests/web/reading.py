"""A page as its reader reads it."""


def text(response) -> str:
    """The page with every run of blanks as one, so that a sentence is found however its lines break."""
    return " ".join(response.content.decode().split())
