"""What the writer says in fields and words of its own, for the reader to find (house rules)."""

from __future__ import annotations

SOFTWARE = "engrave"
"""What the files say wrote them."""
SHAPE_FIELD = "shape "
"""How the name of a field starts that holds a chord shape; the chord's name follows."""
FINGERS_FOLLOW = "; fingers "
"""What stands between frets and fingers in such a field."""
