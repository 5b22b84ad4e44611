"""Engrave: from a written-down score for fretted instruments to a printed page."""

__version__ = "0.1.0"
