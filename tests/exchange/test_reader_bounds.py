"""What the readers need at worst: bad files end as a tree or as a refusal in words, within bounds of time and memory.

The files are those of tests/benchmarks/reader_bounds.py, at a share of their full size that takes seconds; at full size that
command prints what each needs. The bounds are house rules, several times what is needed today, and far below what a cost
that grows with the square of the size would need.
"""

import io
import re
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from engrave.exchange.musicxml.writer import write_musicxml, write_mxl
from engrave.exchange.text_tab.writer import write_text_tab
from tests.benchmarks.reader_bounds import CASES, READERS
from tests.exchange.test_round_trips import FILES, FOLDER, TAB, loaded, sample

ROOT = Path(__file__).parents[2]
MEMORY = 1024**3
"""Bytes of address space for a process with all that it imports."""
SECONDS = 60
"""Seconds of the processor for each case."""
SHARES = {
    "musicxml/attributes": 0.05,
    "musicxml/lines": 0.05,
    "musicxml/comment": 0.05,
    "musicxml/jumps": 0.2,
    "musicxml/endings": 0.1,
    "musicxml/one-measure": 0.05,
    "musicxml/odd-tuplets": 0.2,
    "musicxml/parts": 0.02,
    "mxl/members": 0.2,
    "midi/tracks": 1,
}
"""Those that are not read at a hundredth of their size."""
SCRIPT = """
import sys
from tests.benchmarks.reader_bounds import read_case
for row in sys.argv[3:]:
    name, share = row.split("=")
    print(name, read_case(name, float(share), int(sys.argv[1]), int(sys.argv[2])))
"""


@pytest.mark.parametrize("kind", sorted(READERS))
def test_the_worst_files_are_read_within_bounds(kind):
    rows = [f"{name}={SHARES.get(name, 0.01)}" for name in CASES if name.startswith(f"{kind}/")]
    command = [sys.executable, "-c", SCRIPT, str(MEMORY), str(SECONDS), *rows]
    done = subprocess.run(command, capture_output=True, text=True, check=False, cwd=ROOT)
    assert done.returncode == 0, done.stdout + done.stderr[-2000:]
    assert [line.split()[0] for line in done.stdout.splitlines()] == [row.split("=")[0] for row in rows]


# --- Right files with something wrong in them.

WRONGS = [
    "",
    "0",
    "-1",
    "3",
    "7",
    "64",
    "1e9",
    "nan",
    "1/2",
    "99999999999999999999",
    "x",
    "¼",
    "&#0;",
    "\U0001d11e",
]
INSIDE = re.compile(r"""(?<=[>"])[^<>"]+(?=[<"])""")
"""The value of an attribute or the text of an element."""
PLACES = st.tuples(
    st.sampled_from(["drop", "copy", "swap", "word"]), st.integers(0, 1 << 20), st.integers(0, 1 << 20)
)


def spoil(pieces, wrongs):
    """Some pieces left out, written twice, changed for others or for a wrong word."""
    pieces = list(pieces)
    for kind, at, other in wrongs:
        at, other = at % len(pieces), other % len(pieces)
        if kind == "drop":
            pieces[at] = pieces[at][:0]
        elif kind == "copy":
            pieces[at] = pieces[at] * (2 + other % 40)
        elif kind == "swap":
            pieces[at], pieces[other] = pieces[other], pieces[at]
        elif isinstance(pieces[at], str):
            word = WRONGS[other % len(WRONGS)]
            inside = INSIDE.sub(lambda _, word=word: word, pieces[at], count=1)
            pieces[at] = word if inside == pieces[at] else inside
        else:
            pieces[at] = WRONGS[other % len(WRONGS)].encode()
    return pieces[0][:0].join(pieces)


SONG = sample(FOLDER / "lantern-waltz.yaml")
XML = write_musicxml(SONG).decode()
LEAF = r"<[\w-]+(?: [^>]*)?/>|<([\w-]+)(?: [^>]*)?>[^<]*</\1>"
WHOLE = r"<(note|direction|harmony|attributes|barline)\b.*?</\1>"
ELEMENTS = [
    [
        match.group()
        for match in re.finditer(rf"{kind}|<[^>]*>|[^<]+", XML[XML.index("<part id") :], re.DOTALL)
    ]
    for kind in (LEAF, WHOLE)
]
"""The music in its smallest elements, and in notes and what stands between them; other tags are pieces too."""
HEAD = XML[: XML.index("<part id")]
TYPED = [
    line for text in (TAB.decode(), write_text_tab(SONG, 90)[0]) for line in text.splitlines(keepends=True)
]
MIDI = min(FILES["midi"], key=len)


def packed(text, wrongs):
    """A compressed file of a spoilt text, itself spoilt where the first wrong says so."""
    data = write_mxl(text.encode("utf-8", "replace"), "song.musicxml")
    if wrongs and wrongs[0][1] % 2:
        return data
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        return spoil([data[:40], *(archive.read(name) for name in archive.namelist()), data[40:]], wrongs)


def spoilt_xml(wrongs):
    """A text whose tags are left as they are but for one piece in sixteen."""
    pieces = ELEMENTS[wrongs[0][2] % 2]
    good = [
        at for at, piece in enumerate(pieces) if at % 16 == 0 or not re.fullmatch(r"</?[^>]*[^/]>|\s+", piece)
    ]
    return HEAD + spoil(
        pieces, [(kind, good[at % len(good)], good[other % len(good)]) for kind, at, other in wrongs]
    )


def spoilt_midi(wrongs):
    """A file with one spoilt track, whose length is told rightly as often as not."""
    head, *tracks = MIDI.split(b"MTrk")
    at = wrongs[0][2] % len(tracks)
    body = spoil([tracks[at][place : place + 1] for place in range(4, len(tracks[at]))], wrongs)
    tracks[at] = (len(body).to_bytes(4, "big") if wrongs[0][1] % 2 else tracks[at][:4]) + body
    return b"MTrk".join([head, *tracks])


SPOILT = {
    "musicxml": lambda wrongs: spoilt_xml(wrongs).encode(),
    "mxl": lambda wrongs: packed(spoilt_xml(wrongs), wrongs),
    "midi": spoilt_midi,
    "tab": lambda wrongs: spoil(TYPED, wrongs).encode(),
}
TREES = {
    "musicxml": lambda found: found[0],
    "mxl": lambda found: found[0],
    "midi": lambda found: found[0],
    "tab": lambda found: found.tree,
}


@pytest.mark.parametrize("kind", sorted(SPOILT))
@given(st.lists(PLACES, min_size=1, max_size=6))
@settings(max_examples=20, suppress_health_check=list(HealthCheck))
def test_spoilt_files_give_a_right_score_or_a_refusal_in_words(kind, wrongs):
    data = SPOILT[kind](wrongs)
    refusal, found = "", None
    try:
        found = READERS[kind](data)
    except ValueError as error:
        refusal = str(error)
    if found is None:
        assert len(refusal.split()) > 3
        assert "\n" not in refusal
    else:
        loaded(TREES[kind](found))
