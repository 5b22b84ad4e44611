"""Scores as Standard MIDI Files, and back."""
