"""The morning they collect: days, windows, bookings, the run sheet and the hand-over."""
