"""What the writer says in fields and words of its own, for the reader to find (house rules)."""

from __future__ import annotations

from engrave.theory.chord_shape import ChordShape

SOFTWARE = "engrave"
"""What the files say wrote them."""
SHAPE_FIELD = "shape "
"""How the name of a field starts that holds a chord shape; the chord's name follows."""
FINGERS_FOLLOW = "; fingers "
"""What stands between frets and fingers in such a field."""


def describe_shape(shape: ChordShape) -> tuple[str, str]:
    """Frets and fingers as the score language writes them; no fingers are ""."""
    frets = " ".join("x" if fret is None else str(fret) for fret in shape.frets)
    return frets, " ".join(finger or "0" for finger in shape.fingers) if any(shape.fingers) else ""
