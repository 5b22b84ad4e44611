"""Scores written as text that a person would be glad to edit."""
