"""What was asked: buyers, orders, lines, rounds and prices."""
