"""Repeats, endings, D.C. and D.S. as keys of a measure."""

from __future__ import annotations

from typing import Any

from engrave.theory.repeats import RepeatInfo


def repeat_tree(info: RepeatInfo) -> dict[str, Any]:
    """Repeats, endings, D.C. and D.S. of a measure."""
    tree: dict[str, Any] = {}
    words = [word for word, holds in (("start", info.start), ("end", info.end_times is not None)) if holds]
    if words:
        tree["repeat"] = " and ".join(words)
    if info.end_times not in (None, 2):
        tree["times"] = info.end_times
    if info.ending:
        tree["ending"] = info.ending[0] if len(info.ending) == 1 else list(info.ending)
    signs = {"segno": info.segno, "coda": info.coda, "to-coda": info.to_coda, "fine": info.fine}
    tree |= {key: True for key, holds in signs.items() if holds}
    if info.go_back is not None:
        tree["go-back"] = info.go_back.value
    return tree
