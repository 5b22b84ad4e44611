"""A changed score put back into the text that a person wrote: what differs is changed, all else stays as typed."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import fields, replace
from typing import Any

from engrave.problems import Location
from engrave.score.structure import Event, Part, PartMeasure, Score
from engrave.writing.key_values import beat_paths, beat_tree
from engrave.writing.neck_tree import neck_tree
from engrave.writing.patch import Patch, Path
from engrave.writing.rewrite_head import finds_shapes, rewrite_instruments, rewrite_keys, rewrite_shapes
from engrave.writing.rewrite_music import MusicRewriter, pin_moved

_BEFORE_CHORD = ("time", "key", "tempo", "swing", "label", "pickup", "number")
"""Keys of a measure that a person writes before its chord names."""
_DETAIL = re.compile(r"(\s*\S+\s+)(\S+)")


def rewrite_chords(
    patch: Patch, before: Part, after: Part, score: Score, contents: Sequence[Path | None]
) -> None:
    """The chord names of a part. Raises ValueError for a name that the text cannot carry."""
    found = finds_shapes(patch)
    shapes = {named.name: named.shape for named in score.shapes}
    rows = zip(before.measures, after.measures, contents, score.measures, strict=True)
    for old, new, path, measure in rows:
        for chord in new.chords:
            if not found and chord.shape != shapes.get(chord.name):
                where = f"{after.name}, measure {measure.number}"
                raise ValueError(
                    f"{where}: the shape of {chord.name.text} is not that of the head of the score"
                )
        names = [(chord.onset, chord.name) for chord in new.chords]
        if names == [(chord.onset, chord.name) for chord in old.chords]:
            continue
        if path is None:
            raise ValueError(f"{after.name}, measure {measure.number}: there is no music for chord names")
        here = (*path, "chord")
        spots = beat_paths(patch, here)
        if len(spots) == len(names) and [c.onset for c in old.chords] == [c.onset for c in new.chords]:
            for spot, was, now in zip(spots, old.chords, new.chords):
                if was.name != now.name:
                    patch.replace(spot, now.name.text)
        elif names:
            rows_of_words = [(onset, name.text) for onset, name in names]
            patch.put(here, beat_tree(rows_of_words, measure, new), after=_BEFORE_CHORD)
        else:
            patch.remove(here)


def rewrite_spans(patch: Patch, before: Part, after: Part, contents: Sequence[Path | None]) -> None:
    """The frets of positions and barres."""
    for old, new, path in zip(before.measures, after.measures, contents, strict=True):
        if path is None or [span.detail for span in old.spans] == [span.detail for span in new.spans]:
            continue
        spots = beat_paths(patch, (*path, "spans"))
        for spot, was, now in zip(spots, old.spans, new.spans, strict=True):
            node = patch.node(spot)
            if was.detail != now.detail and node is not None:
                patch.replace(spot, _DETAIL.sub(rf"\g<1>{now.detail}", node.text, count=1))


def rewrite_clefs(patch: Patch, before: Part, after: Part, contents: Sequence[Path | None]) -> None:
    """The changes of clef, which may go. Raises ValueError for any other."""
    for number, (old, new, path) in enumerate(zip(before.measures, after.measures, contents, strict=True)):
        was, now = ([(clef.onset, clef.clef) for clef in content.clefs] for content in (old, new))
        if was != now and now:
            raise ValueError(f"{after.name}, measure index {number}: its clefs cannot be changed here")
        if was != now and path is not None:
            patch.remove((*path, "clef"))


def rewrite_necks(patch: Patch, before: Part, after: Part, contents: Sequence[Path | None]) -> None:
    """What the neck diagrams show, and those that go."""
    for old, new, path in zip(before.measures, after.measures, contents, strict=True):
        if path is None or old.neck is None:
            continue
        if new.neck is None:
            patch.remove((*path, "neck"))
        elif new.neck.request != old.neck.request:
            patch.replace((*path, "neck"), neck_tree(new.neck.request))


def rewrite_score(text: str, before: Score, after: Score) -> str:
    """`text`, which says `before`, changed to say `after`: read again it gives `after`, but for places in the text.

    Strings, frets, fingers, marks, pitches, chord names and shapes, keys, instruments, necks and the frets of spans may
    differ, and changes of clef and necks may go.
    A note that stays `chosen` is written as a pitch, and the reader chooses its place again; one that is moved from
    where the reader put it, or gets a finger or a mark, is written on its string. Where the text says
    `shapes: auto` the reader finds shapes again. Raises ValueError, with what and where, for what the text cannot say.
    """
    check_frame(before, after)
    parts = tuple(pin_moved(old, new) for old, new in zip(before.parts, after.parts, strict=True))
    after = replace(after, parts=parts)
    patch = Patch(text)
    rewrite_instruments(patch, before, after)
    rewrite_keys(patch, before, after)
    rewrite_shapes(patch, before, after)
    for old, new in zip(before.parts, after.parts, strict=True):
        contents = content_paths(patch, new, len(after.measures), len(after.parts))
        rewrite_chords(patch, old, new, after, contents)
        rewrite_spans(patch, old, new, contents)
        rewrite_clefs(patch, old, new, contents)
        rewrite_necks(patch, old, new, contents)
        MusicRewriter(patch, old, new, after.measures, contents).rewrite()
    return patch.apply()


def content_paths(patch: Patch, part: Part, measures: int, parts: int) -> list[Path | None]:
    """Where the music of `part` stands in each measure; None where it has none there."""
    listed = patch.node(("parts",)) is not None
    paths: list[Path | None] = []
    for index in range(measures):
        here: Path = ("measures", index)
        own = (*here, "parts", part.id)
        if not listed or (parts == 1 and patch.node((*here, "parts")) is None):
            paths.append(here)
        else:
            paths.append(own if patch.node(own) is not None else None)
    return paths


def check_frame(before: Score, after: Score) -> None:
    """Raise ValueError where `after` differs in more than can be rewritten."""
    for name in (field.name for field in fields(Score)):
        if name not in ("measures", "parts", "shapes", "file"):
            _check(f"the {name.replace('_', ' ')}", getattr(before, name), getattr(after, name))
    _check("the number of measures", len(before.measures), len(after.measures))
    _check(
        "the parts",
        [(p.id, p.name, p.view) for p in before.parts],
        [(p.id, p.name, p.view) for p in after.parts],
    )
    for old, new in zip(before.measures, after.measures, strict=True):
        changed = replace(new, key=old.key, key_changes=old.key_changes)
        _check(f"measure {old.number}", old, changed)
    for was, now in zip(before.parts, after.parts, strict=True):
        for index, (content, other) in enumerate(zip(was.measures, now.measures, strict=True)):
            if content is not other:
                where = f"{was.name}, measure {before.measures[index].number}"
                _check(f"{where}: its words or its events in time", _frame(content), _frame(other))


def _check(what: str, before: Any, after: Any) -> None:
    if before != after and _without_places(before) != _without_places(after):
        raise ValueError(f"{what} cannot be changed here")


def _without_places(value: Any) -> Any:
    if isinstance(value, Location):
        return None
    if isinstance(value, list | tuple):
        return [_without_places(entry) for entry in value]
    if hasattr(value, "__dataclass_fields__"):
        return [_without_places(getattr(value, field.name)) for field in fields(value)]
    return value


def _frame(content: PartMeasure) -> list[Any]:
    """What has to stay as it is in a measure of a part."""
    voices = [[_event_frame(event) for event in voice.events] for voice in content.voices]
    spans = [(span.onset, span.name, span.length, span.measures) for span in content.spans]
    return [
        voices,
        content.texts,
        content.dynamics,
        spans,
        content.repeats,
        content.repeat_index,
    ]


def _event_frame(event: Event) -> Sequence[Any]:
    graces = [
        (side.slashed, [grace.value for grace in side.events]) if side is not None else None
        for side in (event.before, event.after)
    ]
    return (
        event.onset,
        event.length,
        event.value,
        event.tuplets,
        event.lyrics,
        event.whole_measure,
        graces,
        event.hidden,
    )
