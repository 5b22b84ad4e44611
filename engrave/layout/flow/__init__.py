"""Words and music on the same pages: everything becomes boxes, and one search fills the pages."""
