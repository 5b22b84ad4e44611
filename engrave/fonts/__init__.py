"""The faces that text and symbols are set in: what they contain and how large it is."""
