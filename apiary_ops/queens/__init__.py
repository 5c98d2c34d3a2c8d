"""Queens: orders to breeders, lots received, the bank, and what a live queen really cost."""
