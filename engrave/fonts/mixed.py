"""Words with real sharps and flats in them: the text faces have none, so these come from the music face."""

from __future__ import annotations

from collections.abc import Iterator

from engrave.fonts.text_face import text_face

_SIGNS = "♯♭♮"
_MUSIC = "music"


def split_by_face(text: str, face: str) -> list[tuple[str, str]]:
    """Runs of `text` with the face that has them: `face`, or the music face."""
    runs: list[tuple[str, str]] = []
    for character in text:
        used = _MUSIC if character in _SIGNS else face
        if runs and runs[-1][1] == used:
            runs[-1] = (runs[-1][0] + character, used)
        else:
            runs.append((character, used))
    return runs


def mixed_width(text: str, face: str, size: float) -> float:
    """The width that `text` takes at font size `size`, in the unit of `size`."""
    return sum(text_face(used).width(run, size) for run, used in split_by_face(text, face))


def place_runs(text: str, face: str, size: float, x: float) -> Iterator[tuple[float, str, str]]:
    """(x, run, face) of each run of `text` from `x` on."""
    for run, used in split_by_face(text, face):
        yield x, run, used
        x += text_face(used).width(run, size)
