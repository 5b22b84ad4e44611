"""Pages: headings, footers, and the systems between them."""
