"""What was promised, how firmly, and whether one more may be."""
