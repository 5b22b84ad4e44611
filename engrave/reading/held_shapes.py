"""The shape of each chord name as it is met: the author's own, or the best one where the score leaves them to us."""

from __future__ import annotations

from collections.abc import Iterable

from engrave.diagnostics.problem import Place, ProblemLog
from engrave.score.structure import NamedShape
from engrave.source.tree import SourceMap, Value
from engrave.theory.chord_name import ChordName
from engrave.theory.chord_shape import ChordShape
from engrave.theory.instrument import Instrument

AUTO = "auto"
"""What `shapes` says, or `others` in it, where shapes are to be found."""
OTHERS = "others"


class HeldShapes:
    """Shapes by chord name for one part; the same name has the same shape through the whole piece."""

    def __init__(self, own: Iterable[NamedShape] = (), finds_for: Instrument | None = None) -> None:
        """`own` shapes outrank all others. `finds_for`: the instrument for which others are found, None for none."""
        self._shapes: dict[ChordName, ChordShape | None] = {named.name: named.shape for named in own}
        self._finds_for = finds_for
        self.found: list[NamedShape] = []

    def get(self, name: ChordName, place: Place, where: str, log: ProblemLog) -> ChordShape | None:
        """The shape of a chord that stands at `place`; one that cannot be held goes to `log` once, as a warning."""
        if name not in self._shapes:
            self._shapes[name] = self._find(name, place, where, log)
        return self._shapes[name]

    def _find(self, name: ChordName, place: Place, where: str, log: ProblemLog) -> ChordShape | None:
        if self._finds_for is None or name.root is None:
            return None
        from engrave.fingering.best_shape import find_best_shape

        shape = find_best_shape(name, self._finds_for)
        if shape is None:
            hint = f"write one of your own under shapes: {{{name.text}: ...}}"
            log.warning(place, f"no shape of {name.text} can be held on this instrument", where, hint)
        else:
            self.found.append(NamedShape(name, shape, place))
        return shape


def wants_shapes(content: Value, log: ProblemLog) -> bool:
    """True when shapes are to be found for chords that have none: `shapes: auto`, or `others: auto` among them."""
    if not isinstance(content, SourceMap):
        return bool(content == AUTO)
    if OTHERS not in content:
        return False
    if content[OTHERS] != AUTO:
        hint = f"write others: {AUTO}, or leave it out"
        log.error(content.value_place(OTHERS), f'"{OTHERS}" can only be {AUTO}', hint=hint)
    return True
