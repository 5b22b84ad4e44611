"""Method books."""
