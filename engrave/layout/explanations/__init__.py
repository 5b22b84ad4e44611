"""Signs explained, and strips of music as it shows them."""
