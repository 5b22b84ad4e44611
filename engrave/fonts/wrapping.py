"""Words broken into lines of a width."""

from __future__ import annotations

from engrave.fonts.text_face import text_face


def wrap(text: str, face: str, size: float, width: float) -> list[str]:
    """The lines of `text` set in `face` at `size`, none wider than `width` unless a single word is (same unit).

    Lines break at spaces, not at no-break spaces.
    """
    measured = text_face(face)
    lines: list[str] = []
    for word in text.replace("\n", " ").split(" "):
        if not word:
            continue
        longer = f"{lines[-1]} {word}" if lines else word
        if lines and measured.width(longer, size) <= width:
            lines[-1] = longer
        else:
            lines.append(word)
    return lines
