"""From a tree of plain values to a score."""
