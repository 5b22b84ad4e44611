"""A score told in words, for readers who cannot see a page."""
