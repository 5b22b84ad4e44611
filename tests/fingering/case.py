"""One case of what is taught, and where such cases come from."""

from typing import NamedTuple


class Case(NamedTuple):
    """`kind`: scale, arpeggio, music or chord. `head`: lines for the head of the score; `over`: keys of its first measure."""

    kind: str
    name: str
    taught: str
    source: str
    head: str = "instrument: guitar"
    over: str = ""
    value: str = "1/8"
    position: int = 0
    avoid_open: bool = False
    frets: bool = False


COMMON = "common practice, no source"
METHODS = "from memory: first-position chapters of Carcassi, Méthode op. 59, and Noad, Solo Guitar Playing"
FIDDLE = "from memory: first-position settings of flatpicking and mandolin methods"
BLUES = "from memory: the boxes of blues and rock methods"
CHARTS = "from memory: chord charts of beginners' books"
UKE, BASS, MANDOLIN = "instrument: ukulele", "instrument: bass", "instrument: mandolin"
DROP_D = "instrument: guitar\ntuning: drop D"
RING = "spans: {1: let-ring for 1/1}"
