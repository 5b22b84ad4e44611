"""Plain values that remember where they stand in the text."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from engrave.problems import NOWHERE, Place

Value = Any
"""None, bool, int, float, str, `SourceMap` or `SourceList`."""


class SourceMap(dict[str, Value]):
    """A mapping with text keys. Places are kept in the order of the keys."""

    __slots__ = ("place", "spots")

    def __init__(self, place: Place) -> None:
        """An empty mapping that starts at `place`."""
        super().__init__()
        self.place = place
        self.spots: list[Place] = []

    def put(self, key: str, key_place: Place, value: Value, value_place: Place) -> None:
        """Add a key that is not there yet."""
        self[key] = value
        self.spots.append(key_place)
        self.spots.append(value_place)

    def entries(self) -> Iterator[tuple[str, Value, Place]]:
        """Every key with its value and the value's place."""
        return zip(self.keys(), self.values(), self.spots[1::2], strict=True)

    def key_place(self, key: str) -> Place:
        """Where `key` stands; the mapping's own place when it is not there."""
        return self._spot(key, 0)

    def value_place(self, key: str) -> Place:
        """Where the value of `key` stands; the mapping's own place when it is not there."""
        return self._spot(key, 1)

    def _spot(self, key: str, side: int) -> Place:
        for number, candidate in enumerate(self):
            if candidate == key:
                return self.spots[2 * number + side]
        return self.place


class SourceList(list[Value]):
    """A list whose items' places are kept."""

    __slots__ = ("place", "spots")

    def __init__(self, place: Place) -> None:
        """An empty list that starts at `place`."""
        super().__init__()
        self.place = place
        self.spots: list[Place] = []

    def put(self, value: Value, place: Place) -> None:
        """Add an item."""
        self.append(value)
        self.spots.append(place)

    def item_place(self, index: int) -> Place:
        """Where item `index` stands."""
        return self.spots[index] if 0 <= index < len(self.spots) else self.place


def place_of(tree: Value, path: list[str | int]) -> Place:
    """Where the value at `path` (keys and indices from the root) stands."""
    place = getattr(tree, "place", NOWHERE)
    node = tree
    for step in path:
        if isinstance(node, SourceMap) and str(step) in node:
            place, node = node.value_place(str(step)), node[str(step)]
        elif isinstance(node, SourceList) and isinstance(step, int) and step < len(node):
            place, node = node.item_place(step), node[step]
        else:
            break
    return place
