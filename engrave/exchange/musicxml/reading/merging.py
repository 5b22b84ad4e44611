"""Two staves put into one part: the lower one's voices stand beside the upper one's."""

from __future__ import annotations

from collections.abc import Sequence

from engrave.exchange.musicxml.reading.music import Staff, StaffMeasure, VoiceEvent

_LOWER = "lower "
"""What the name of a voice starts with that stood on the lower staff."""
_STAVES = 2
"""Staves of a grand staff, and hands of a player (fact of notation)."""


def is_lower(voice: str) -> bool:
    """Whether the voice stood on the lower staff."""
    return voice.startswith(_LOWER)


def merge_staves(staves: Sequence[Staff]) -> list[Staff]:
    """The staves with every two of one part in one; two parts of one staff each too, where there is nothing else.

    Raises ValueError where there are no two staves to put together.
    """
    if len(staves) == _STAVES and not any(staff.setup.is_tab for staff in staves):
        return [_merge(staves[0], staves[1])]
    merged: list[Staff] = []
    done = False
    for part in dict.fromkeys(staff.part_id for staff in staves):
        own = [staff for staff in staves if staff.part_id == part]
        pair = len(own) == _STAVES
        done = done or pair
        merged += [_merge(*own)] if pair else own
    if not done:
        many = f"{len(staves)} staves" if len(staves) > 1 else "one staff"
        raise ValueError(
            f"--merge is for two staves, and this file has {many}; --part takes some of its parts"
        )
    return merged


def _merge(upper: Staff, lower: Staff) -> Staff:
    name = upper.name
    if upper.part_id == lower.part_id:
        name = name.removesuffix(" 1")
    measures = [_merge_measure(one, other) for one, other in zip(upper.measures, lower.measures, strict=True)]
    return Staff(upper.part_id, name, upper.setup, measures, program=upper.program, merged=True)


def _merge_measure(upper: StaffMeasure, lower: StaffMeasure) -> StaffMeasure:
    voices: dict[str, list[VoiceEvent]] = dict(upper.voices)
    voices |= {f"{_LOWER}{name}": events for name, events in lower.voices.items()}
    dynamics = [at for at in lower.dynamics if at not in upper.dynamics]
    edges = [edge._replace(number=f"{edge.number} below") for edge in lower.edges if edge.kind != "wedge"]
    repeats = upper.repeats if upper.repeats == lower.repeats else 0
    return StaffMeasure(
        voices,
        chords=[*upper.chords, *(at for at in lower.chords if at not in upper.chords)],
        texts=[*upper.texts, *(at for at in lower.texts if at not in upper.texts)],
        dynamics=[*upper.dynamics, *dynamics],
        edges=[*upper.edges, *edges],
        repeats=repeats,
    )
