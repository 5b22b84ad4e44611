"""Chord grids: the neck of an instrument as a small table of strings and frets."""
