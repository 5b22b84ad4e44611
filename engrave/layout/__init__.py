"""From a score and a style to pages of placed marks."""
