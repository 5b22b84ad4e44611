"""Plain-text tab as people type it, read into the tree of a score."""
