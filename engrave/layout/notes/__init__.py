"""Decisions about single notes: stems, heads, accidentals, dots, rests."""
