"""Optimal breaking of a sequence into lines and pages. Knows nothing of music."""
