"""Plain values that remember where they stand in the text."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from engrave.problems import NOWHERE, Location

Value = Any
"""None, bool, int, float, str, `SourceMap` or `SourceList`."""

_FEW = 16
"""Keys of a mapping that are looked through one by one; those of larger ones are numbered once, when a place is asked for."""


class SourceMap(dict[str, Value]):
    """A mapping with text keys. Places are kept in the order of the keys."""

    __slots__ = ("_numbers", "location", "spots")

    def __init__(self, location: Location) -> None:
        """An empty mapping that starts at `location`."""
        super().__init__()
        self.location = location
        self.spots: list[Location] = []
        self._numbers: dict[str, int] | None = None

    def put(self, key: str, key_location: Location, value: Value, value_location: Location) -> None:
        """Add a key that is not there yet."""
        self[key] = value
        self.spots.append(key_location)
        self.spots.append(value_location)

    def entries(self) -> Iterator[tuple[str, Value, Location]]:
        """Every key with its value and the value's place."""
        return zip(self.keys(), self.values(), self.spots[1::2], strict=True)

    def key_location(self, key: str) -> Location:
        """Where `key` stands; the mapping's own place when it is not there."""
        return self._spot(key, 0)

    def value_location(self, key: str) -> Location:
        """Where the value of `key` stands; the mapping's own place when it is not there."""
        return self._spot(key, 1)

    def _spot(self, key: str, side: int) -> Location:
        if key not in self:
            return self.location
        if len(self) <= _FEW:
            return self.spots[2 * list(self).index(key) + side]
        if self._numbers is None or len(self._numbers) != len(self):
            self._numbers = {each: number for number, each in enumerate(self)}
        return self.spots[2 * self._numbers[key] + side]


class SourceList(list[Value]):
    """A list whose items' places are kept."""

    __slots__ = ("location", "spots")

    def __init__(self, location: Location) -> None:
        """An empty list that starts at `location`."""
        super().__init__()
        self.location = location
        self.spots: list[Location] = []

    def put(self, value: Value, location: Location) -> None:
        """Add an item."""
        self.append(value)
        self.spots.append(location)

    def item_location(self, index: int) -> Location:
        """Where item `index` stands."""
        return self.spots[index] if 0 <= index < len(self.spots) else self.location


def location_of(tree: Value, path: list[str | int]) -> Location:
    """Where the value at `path` (keys and indices from the root) stands."""
    location = getattr(tree, "location", NOWHERE)
    node = tree
    for step in path:
        if isinstance(node, SourceMap) and str(step) in node:
            location, node = node.value_location(str(step)), node[str(step)]
        elif isinstance(node, SourceList) and isinstance(step, int) and step < len(node):
            location, node = node.item_location(step), node[step]
        else:
            break
    return location
