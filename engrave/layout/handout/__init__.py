"""Lesson handouts."""
