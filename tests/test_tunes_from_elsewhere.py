"""Tunes that nobody has tried: from the corpus of music21 to the printed page with three commands and no editing."""

import pytest

pytest.importorskip("music21")

from tests.tools.elsewhere import INSTRUMENTS, count_struck, draw_tunes, export, take_through

TUNES = 8


@pytest.fixture(scope="module")
def tunes(tmp_path_factory):
    folder = tmp_path_factory.mktemp("tunes")
    found = []
    for number, (name, tune) in enumerate(draw_tunes(TUNES, seed=3, books=False)):
        path = folder / f"{number}-{name}.musicxml"
        found.append((path, export(tune, path)))
    return found


@pytest.mark.parametrize("instrument", INSTRUMENTS)
@pytest.mark.parametrize("number", range(TUNES))
def test_a_tune_goes_through_three_commands_with_every_note(tunes, number, instrument, tmp_path):
    source, wanted = tunes[number]
    status, said, score = take_through(source, instrument, tmp_path)
    assert status == [0, 0, 0], said
    assert count_struck(score)[0] == wanted
    assert score.parts[0].instrument.name == instrument
