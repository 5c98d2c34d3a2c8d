"""The season desk of a nuc producer, one package of small apps stacked in the order of the work."""
