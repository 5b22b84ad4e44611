"""The key to the signs, and strips of music as it shows them."""
