"""What a nuc cost and earned; reads only."""
