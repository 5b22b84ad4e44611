"""Instruments, keys and chord shapes put back into a text."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from engrave.score.structure import NamedShape, Score
from engrave.theory.chord_shape import ChordShape
from engrave.theory.instrument import PRESETS, Instrument
from engrave.theory.key import Key
from engrave.writing.instrument_keys import INSTRUMENT_KEYS, instrument_of, keys_for
from engrave.writing.nodes import Kind
from engrave.writing.patch import Patch, Path

_TITLES = ("score", "title", "subtitle", "credits", "copyright", "language", "view", "style")
_MUSIC = (*_TITLES, *INSTRUMENT_KEYS, "key", "time", "tempo", "swing")
_GUITAR = PRESETS["guitar"]
_SHAPES: Path = ("shapes",)
_OTHERS, _AUTO = "others", "auto"
_Shape = tuple[str, ChordShape]


def rewrite_instruments(patch: Patch, before: Score, after: Score) -> None:
    """`instrument`, `tuning` and `capo` of every part, at the head where all parts that it holds for agree."""
    wanted = [part.instrument for part in after.parts]
    if wanted == [part.instrument for part in before.parts]:
        return
    head = _keys_at(patch, ())
    if patch.node(("parts",)) is None:
        _put_keys(patch, (), head, keys_for(wanted[0], head, _GUITAR), _TITLES)
        return
    default = instrument_of(head, _GUITAR)
    rows = [_keys_at(patch, ("parts", index)) for index in range(len(wanted))]
    heirs = [instrument for instrument, keys in zip(wanted, rows, strict=True) if not keys]
    if heirs and all(instrument == heirs[0] for instrument in heirs) and heirs[0] != default:
        changed = keys_for(heirs[0], head, _GUITAR)
        _put_keys(patch, (), head, changed, _TITLES)
        default = heirs[0]
    for index, (instrument, keys) in enumerate(zip(wanted, rows, strict=True)):
        _put_keys(patch, ("parts", index), keys, keys_for(instrument, keys, default), ("id", "name"))


def _keys_at(patch: Patch, path: Path) -> dict[str, Any]:
    found = {key: patch.node((*path, key)) for key in INSTRUMENT_KEYS}
    return {key: node.plain for key, node in found.items() if node is not None}


def _put_keys(
    patch: Patch, path: Path, before: dict[str, Any], after: dict[str, Any], behind: tuple[str, ...]
) -> None:
    for key in INSTRUMENT_KEYS:
        if key not in after:
            patch.remove((*path, key))
        elif key not in before or before[key] != after[key]:
            patch.put((*path, key), after[key], after=(*behind, *INSTRUMENT_KEYS))


def rewrite_keys(patch: Patch, before: Score, after: Score) -> None:
    """`key` at the head and in the measures where the key is another one now."""
    running = Key(0)
    for index, (old, new) in enumerate(zip(before.measures, after.measures, strict=True)):
        here: Path = ("measures", index, "key")
        if patch.node(here) is not None:
            if old.key != new.key:
                patch.replace(here, new.key.name)
        elif index == 0:
            if old.key != new.key:
                patch.put(("key",), new.key.name, after=(*_TITLES, *INSTRUMENT_KEYS))
        elif running != new.key:
            patch.put(here, new.key.name, after=("time",))
        running = new.key
        _check_sign(after, index)


def _check_sign(score: Score, index: int) -> None:
    """A new signature is always printed, and no other."""
    measure = score.measures[index]
    changes = index == 0 or measure.key.fifths != score.measures[index - 1].key.fifths
    if measure.key_changes != changes:
        raise ValueError(f"measure {measure.number}: key_changes is not what the keys of the measures say")


def finds_shapes(patch: Patch) -> bool:
    """True when the text leaves shapes to the reader: `shapes: auto`, or `others: auto` among them."""
    node = patch.node(_SHAPES)
    return node is not None and (node.kind is Kind.SCALAR or node.find(_OTHERS) is not None)


def rewrite_shapes(patch: Patch, before: Score, after: Score) -> None:
    """The chord shapes at the head. Those that the reader finds are left to it, unless one of them is another now."""
    old, new = list(map(_pair, before.shapes)), list(map(_pair, after.shapes))
    if old == new:
        return
    names = [name for name, _ in new]
    if len(set(names)) < len(names):
        raise ValueError("two shapes have one chord name")
    if finds_shapes(patch):
        node = patch.node(_SHAPES)
        typed = 0 if node is None else sum(key.known.text != _OTHERS for key in node.keys)
        found = dict(old[typed:])
        _rename_shapes(patch, old[:typed], new[:typed])
        own = {name: shape_tree(shape) for name, shape in new[typed:] if found.get(name, shape) != shape}
        if own and node is not None and node.kind is Kind.SCALAR:
            patch.replace(_SHAPES, {**own, _OTHERS: _AUTO})
            own = {}
        for name, tree in own.items():
            patch.put((*_SHAPES, name), tree, after=tuple(name for name, _ in old[:typed]))
    elif not new:
        patch.remove(_SHAPES)
    elif len(old) == len(new):
        _rename_shapes(patch, old, new)
    else:
        patch.put(_SHAPES, {name: shape_tree(shape) for name, shape in new}, after=_MUSIC)


def _rename_shapes(patch: Patch, old: Sequence[_Shape], new: Sequence[_Shape]) -> None:
    for (name, shape), (new_name, new_shape) in zip(old, new):
        if name != new_name:
            patch.rename((*_SHAPES, name), new_name)
        if shape != new_shape:
            patch.replace((*_SHAPES, name), shape_tree(new_shape))
    for name, _ in old[len(new) :]:
        patch.remove((*_SHAPES, name))


def _pair(named: NamedShape) -> _Shape:
    return named.name.text, named.shape


def shape_tree(shape: ChordShape) -> Any:
    """How a chord is held: frets, with fingers where they are known."""
    fingers = shape.fingers_text
    return {"frets": shape.frets_text, "fingers": fingers} if fingers else shape.frets_text


def describe_instrument(instrument: Instrument) -> dict[str, Any]:
    """The keys of an instrument written anew."""
    return keys_for(instrument, {}, _GUITAR)
