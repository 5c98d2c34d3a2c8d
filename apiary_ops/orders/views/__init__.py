"""Pages of orders, buyers, rounds and prices."""
