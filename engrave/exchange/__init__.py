"""Music taken from and given to other kinds of files."""
