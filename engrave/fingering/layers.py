"""The moments of a part that can be played, each with every way to hold it and what that costs."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import pairwise
from typing import NamedTuple

from engrave.fingering.cost import Asked
from engrave.fingering.grips import Grip, NoteChoice

Signature = tuple[tuple[NoteChoice, ...], Asked]
"""What is asked for at a moment: moments with the same have the same grips."""
_MOST_PAIRS, _MOST_PAIRS_EXPLAINED = 4_000_000, 500_000
"""Pairs of neighbouring grips of different chords that can be compared in a few seconds; an explained way compares all of them.
Pieces of thousands of different chords have more: of each chord the cheapest grips are taken alone then (safety limit)."""
_ROUGH = 8
"""Grips of a chord that are compared then (safety limit)."""


class Layer(NamedTuple):
    """One moment with its grips and what they cost."""

    moment: int
    signature: Signature
    positions: tuple[int, ...]
    grips: list[Grip]
    costs: list[float]


def limited(layers: list[Layer], explained: bool) -> list[Layer]:
    """The layers as they are, or with the cheapest grips of their chords alone where there are too many pairs to compare."""
    pairs = {
        (before.signature, now.signature): len(before.grips) * len(now.grips)
        for before, now in pairwise(layers)
        if _is_chord(before) or _is_chord(now)
    }
    if sum(pairs.values()) <= (_MOST_PAIRS_EXPLAINED if explained else _MOST_PAIRS):
        return layers
    fewer: dict[tuple[Signature, tuple[int, ...]], Layer] = {}
    for layer in layers:
        if _is_chord(layer) and (layer.signature, layer.positions) not in fewer:
            cheap = sorted(range(len(layer.grips)), key=layer.costs.__getitem__)[:_ROUGH]
            grips, costs = [layer.grips[at] for at in cheap], [layer.costs[at] for at in cheap]
            fewer[layer.signature, layer.positions] = layer._replace(grips=grips, costs=costs)
    return [
        fewer.get((layer.signature, layer.positions), layer)._replace(moment=layer.moment) for layer in layers
    ]


def _is_chord(layer: Layer) -> bool:
    return len(layer.grips[0].spots) > 1


def reached(layers: Iterable[Layer]) -> list[frozenset[int]]:
    """For each layer, where the hand can be when it gets there: open strings let it stay where it was before them."""
    found: list[frozenset[int]] = []
    here: frozenset[int] = frozenset()
    known: dict[int, frozenset[int]] = {}
    for layer in layers:
        found.append(here)
        positions = known.get(id(layer.grips))
        if positions is None:
            positions = known[id(layer.grips)] = frozenset(grip.position for grip in layer.grips)
        here = here | positions if 0 in positions else positions
        here -= {0}
    return found


def can_be_open(layer: Layer) -> bool:
    """True when open strings alone will do, so that the hand waits somewhere."""
    return any(grip.position == 0 for grip in layer.grips)
