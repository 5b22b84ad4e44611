"""From a score to lines: columns, values, rows, and what is lost."""
