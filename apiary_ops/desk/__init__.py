"""Today's desk: home, the season line, search and the demo."""
