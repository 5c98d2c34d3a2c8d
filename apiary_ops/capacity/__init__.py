"""What the colonies, the yards and the season can give: build-up, nucs that could be made, and what limits them."""
