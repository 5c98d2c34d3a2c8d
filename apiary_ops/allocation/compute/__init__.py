"""Who gets what: lines are served in priority from the nucs and batches alive in each week.

Rows in `rows`, the rule in `rule`, the exact sharing of supply in `sharing`, the sentences in `reasons`; what one
plan changes against another in `changes`, totals by week in `weeks`.
"""

from apiary_ops.allocation.compute.rows import Demand, Outcome, Pin, Plan, Supply, Take
from apiary_ops.allocation.compute.rule import allocate

__all__ = ["Demand", "Outcome", "Pin", "Plan", "Supply", "Take", "allocate"]
