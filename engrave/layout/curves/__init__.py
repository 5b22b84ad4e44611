"""Bows: ties and slurs."""
