"""What the season costs: suppliers, bills and pooled costs with their drivers."""
