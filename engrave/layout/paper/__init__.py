"""Blank paper: which rows fit on a sheet, and their lines."""
