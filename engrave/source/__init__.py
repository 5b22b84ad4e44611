"""From bytes to a tree of plain values that remember their places."""
