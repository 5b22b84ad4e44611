"""Mistakes as data: where they are, what is wrong, what would be right."""
