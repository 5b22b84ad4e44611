"""Beams: how they slant and of what pieces they are made."""
