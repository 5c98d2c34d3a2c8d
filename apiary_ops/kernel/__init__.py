"""Plain values every app may use: money, rounding, shares, weeks, units, references and refusals.

Nothing here knows Django, a clock or a database.
"""
