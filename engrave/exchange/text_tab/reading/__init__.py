"""From lines to the tree of a score: bars, notes, time, voices, words."""
