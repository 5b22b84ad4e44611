"""Slips of typing that keep a file from being read as YAML, each found where it was made and told in plain words."""
