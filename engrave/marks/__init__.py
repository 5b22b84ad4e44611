"""Placed marks: the one form between layout and drawing. Few kinds, each with a role and a source."""
