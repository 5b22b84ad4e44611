"""What is printed besides single scores: paper, handouts, songbooks, as immutable records."""
