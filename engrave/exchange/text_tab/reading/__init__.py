"""From lines to the tree of a score: measures, notes, time, voices, words."""
