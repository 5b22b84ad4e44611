"""Ties and slurs."""
