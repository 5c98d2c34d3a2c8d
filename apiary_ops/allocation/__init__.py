"""Who gets which nucs and when: plans, pins, and the reason behind every line."""
