"""Which measures stand on which line, and where each column lies on it."""
