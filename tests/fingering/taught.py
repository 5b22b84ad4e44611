"""What a teacher would write: scales, arpeggios, music and chords with the places and fingers that are taught.

A case is typed as it is taught, `string:fret=finger` with words after a comma (`4:2=2,hammer-on`), `+` between notes that
sound together; `/` stands before other ways that are as good. What is not typed is free. `tests/fingering/report.py`
forgets strings and fingers (or fingers alone, where `frets` are given) and counts what is chosen as taught. No weight was
set so that one case of these comes out; what does not is left in the table.
"""

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

SCALES = (
    Case("scale", "C major", "5:3=3 4:0 4:2=2 4:3=3 3:0 3:2=2 2:0 2:1=1", METHODS),
    Case("scale", "C major, down", "2:1=1 2:0 3:2=2 3:0 4:3=3 4:2=2 4:0 5:3=3", METHODS),
    Case("scale", "C major to the high G", "5:3=3 4:0 4:2=2 4:3=3 3:0 3:2=2 2:0 2:1=1 2:3=3 1:0 1:1=1 1:3=3", METHODS),
    Case("scale", "G major, two octaves", "6:3=3 5:0 5:2=2 5:3=3 4:0 4:2=2 4:4=4 3:0 3:2=2 2:0 2:1=1 2:3=3 1:0 1:2=2 1:3=3", METHODS),
    Case("scale", "G major, down", "1:3=3 1:2=2 1:0 2:3=3 2:1=1 2:0 3:2=2 3:0 4:4=4 4:2=2 4:0 5:3=3 5:2=2 5:0 6:3=3", METHODS),
    Case("scale", "D major", "4:0 4:2=2 4:4=4 3:0 3:2=2 2:0 2:2=2 2:3=3 / 4:0 4:2=1 4:4=3 3:0 3:2=1 2:0 2:2=1 2:3=2", METHODS),
    Case("scale", "A major", "5:0 5:2=2 5:4=4 4:0 4:2=2 4:4=4 3:1=1 3:2=2", METHODS),
    Case("scale", "E major, two octaves", "6:0 6:2=2 6:4=4 5:0 5:2=2 5:4=4 4:1=1 4:2=2 4:4=4 3:1=1 3:2=2 2:0 2:2=2 2:4=4 1:0", METHODS),
    Case("scale", "F major, two octaves", "6:1=1 6:3=3 5:0 5:1=1 5:3=3 4:0 4:2=2 4:3=3 3:0 3:2=2 3:3=3 2:1=1 2:3=3 1:0 1:1=1", METHODS),
    Case("scale", "B flat major", "5:1=1 5:3=3 4:0 4:1=1 4:3=3 3:0 3:2=2 3:3=3", METHODS),
    Case("scale", "E flat major", "4:1=1 4:3=3 3:0 3:1=1 3:3=3 2:1=1 2:3=3 2:4=4", METHODS),
    Case("scale", "A minor", "5:0 5:2=2 5:3=3 4:0 4:2=2 4:3=3 3:0 3:2=2", METHODS),
    Case("scale", "A minor, harmonic", "5:0 5:2=2 5:3=3 4:0 4:2=2 4:3=3 3:1=1 3:2=2", METHODS),
    Case("scale", "A minor, melodic", "5:0 5:2=2 5:3=3 4:0 4:2=2 4:4=4 3:1=1 3:2=2", METHODS),
    Case("scale", "E minor, two octaves", "6:0 6:2=2 6:3=3 5:0 5:2=2 5:3=3 4:0 4:2=2 4:4=4 3:0 3:2=2 2:0 2:1=1 2:3=3 1:0", METHODS),
    Case("scale", "D minor", "4:0 4:2=2 4:3=3 3:0 3:2=2 3:3=3 2:1=1 2:3=3", METHODS),
    Case("scale", "chromatic", "6:0 6:1=1 6:2=2 6:3=3 6:4=4 5:0 5:1=1 5:2=2 5:3=3 5:4=4 4:0 4:1=1 4:2=2 4:3=3 4:4=4 3:0 3:1=1 3:2=2 3:3=3 2:0 2:1=1 2:2=2 2:3=3 2:4=4 1:0", METHODS),
    Case("scale", "E minor pentatonic, open", "6:0 6:3=3 5:0 5:2=2 4:0 4:2=2 3:0 3:2=2 2:0 2:3=3 1:0 1:3=3", BLUES),
    Case("scale", "E blues, open", "6:0 6:3=3 5:0 5:1=1 5:2=2 4:0 4:2=2 3:0 3:2=2", BLUES),
    Case("scale", "G major pentatonic, open", "6:3=3 5:0 5:2=2 4:0 4:2=2 3:0 3:2=2 2:0 2:3=3 1:0 1:3=3", BLUES),
    Case("scale", "A minor pentatonic, fifth position", "6:5=1 6:8=4 5:5=1 5:7=3 4:5=1 4:7=3 3:5=1 3:7=3 2:5=1 2:8=4 1:5=1 1:8=4", BLUES, position=5),
    Case("scale", "A minor pentatonic, down", "1:8=4 1:5=1 2:8=4 2:5=1 3:7=3 3:5=1 4:7=3 4:5=1 5:7=3 5:5=1 6:8=4 6:5=1", BLUES, avoid_open=True),
    Case("scale", "A blues, fifth position", "6:5=1 6:8=4 5:5=1 5:6=2 5:7=3 4:5=1 4:7=3 3:5=1 3:7=3 3:8=4 2:5=1 2:8=4 1:5=1 1:8=4", BLUES, position=5),
    Case("scale", "G major, second position", "6:3=2 6:5=4 5:2=1 5:3=2 5:5=4 4:2=1 4:4=3 4:5=4 3:2=1 3:4=3 3:5=4 2:3=2 2:5=4 1:2=1 1:3=2", COMMON, avoid_open=True),
    Case("scale", "C major, seventh position", "6:8=2 6:10=4 5:7=1 5:8=2 5:10=4 4:7=1 4:9=3 4:10=4 3:7=1 3:9=3 3:10=4 2:8=2 2:10=4 1:7=1 1:8=2", COMMON, position=7),
    Case("scale", "C major, second position", "5:3=2 5:5=4 4:2=1 4:3=2 4:5=4 3:2=1 3:4=3 3:5=4", COMMON, position=2),
    Case("scale", "A minor, fifth position", "6:5=1 6:7=3 6:8=4 5:5=1 5:7=3 5:8=4 4:5=1 4:7=3", COMMON, position=5),
    Case("scale", "D major, fifth position", "5:5=1 5:7=3 5:9=4 4:5=1 4:7=3 4:9=4 3:6=2 3:7=3 / 5:5=1 5:7=2 5:9=4 4:5=1 4:7=2 4:9=4 3:6=1 3:7=2 / 5:5=2 5:7=4 4:4=1 4:5=2 4:7=4 3:4=1 3:6=3 3:7=4", COMMON, avoid_open=True),
    Case("scale", "ukulele, C major", "3:0 3:2=2 2:0 2:1=1 2:3=3 1:0 1:2=2 1:3=3", CHARTS, UKE),
    Case("scale", "ukulele, C major, down", "1:3=3 1:2=2 1:0 2:3=3 2:1=1 2:0 3:2=2 3:0", CHARTS, UKE),
    Case("scale", "ukulele, A minor from the open string", "3:0 3:2=2 2:0 2:1=1 2:3=3 1:0", CHARTS, UKE),
    Case("scale", "ukulele, F major five notes", "2:1=1 2:3=3 1:0 1:1=1 1:3=3", CHARTS, UKE),
    Case("scale", "bass, C major", "3:3=2 3:5=4 2:2=1 2:3=2 2:5=4 1:2=1 1:4=3 1:5=4 / 3:3=3 2:0 2:2=2 2:3=3 1:0 1:2 1:4 1:5 / 3:3=2 2:0 2:2=1 2:3=2 1:0 1:2=1 1:4=3 1:5=4", COMMON, BASS),
    Case("scale", "bass, E minor pentatonic", "4:0 4:3 3:0 3:2 2:0 2:2 1:0", COMMON, BASS),
    Case("scale", "mandolin, G major", "4:0 4:2=1 4:4=2 4:5=3 3:0 3:2=1 3:4=2 3:5=3", FIDDLE, MANDOLIN),
    Case("scale", "mandolin, D major", "3:0 3:2=1 3:4=2 3:5=3 2:0 2:2=1 2:4=2 2:5=3", FIDDLE, MANDOLIN),
    Case("scale", "mandolin, A major", "2:0 2:2=1 2:4=2 2:5=3 1:0 1:2=1 1:4=2 1:5=3", FIDDLE, MANDOLIN),
    Case("scale", "mandolin, C major", "4:5=3 3:0 3:2=1 3:3=2 3:5=3 2:0 2:2=1 2:3=2", FIDDLE, MANDOLIN),
)

ARPEGGIOS = (
    Case("arpeggio", "C ringing", "5:3=3 4:2=2 3:0 2:1=1 1:0 2:1=1 3:0 4:2=2", METHODS, over=RING),
    Case("arpeggio", "Am ringing", "5:0 4:2=2 3:2=3 2:1=1 1:0 2:1=1 3:2=3 4:2=2", METHODS, over=RING),
    Case("arpeggio", "E ringing", "6:0 5:2=2 4:2=3 3:1=1 2:0 1:0 2:0 3:1=1", METHODS, over=RING),
    Case("arpeggio", "Em ringing", "6:0 5:2=2 4:2=3 3:0 2:0 1:0 2:0 3:0 / 6:0 5:2=1 4:2=2 3:0 2:0 1:0 2:0 3:0", METHODS, over=RING),
    Case("arpeggio", "D ringing", "4:0 3:2=1 2:3=3 1:2=2 2:3=3 3:2=1 4:0 3:2=1", METHODS, over=RING),
    Case("arpeggio", "Dm ringing", "4:0 3:2=2 2:3=3 1:1=1 2:3=3 3:2=2 4:0 3:2=2 / 4:0 3:2=2 2:3=4 1:1=1 2:3=4 3:2=2 4:0 3:2=2", METHODS, over=RING),
    Case("arpeggio", "G ringing", "6:3=2 5:2=1 4:0 3:0 2:0 1:3=3 2:0 3:0 / 6:3=3 5:2=2 4:0 3:0 2:0 1:3=4 2:0 3:0", METHODS, over=RING),
    Case("arpeggio", "F barre ringing", "6:1=1 5:3=3 4:3=4 3:2=2 2:1=1 1:1=1 2:1=1 3:2=2", METHODS, over=RING),
    Case("arpeggio", "Bm barre ringing", "5:2=1 4:4=3 3:4=4 2:3=2 1:2=1 2:3=2 3:4=4 4:4=3", COMMON, over=RING),
    Case("arpeggio", "A7 ringing", "5:0 4:2=2 3:0 2:2=3 1:0 2:2=3 3:0 4:2=2 / 5:0 4:2=1 3:0 2:2=2 1:0 2:2=2 3:0 4:2=1", METHODS, over=RING),
    Case("arpeggio", "Am under its name", "5:0 4:2=2 3:2=3 2:1=1 1:0 2:1=1 3:2=3 4:2=2", METHODS, over="chord: Am"),
    Case("arpeggio", "D under its name", "4:0 3:2=1 2:3=3 1:2=2 4:0 3:2=1 2:3=3 1:2=2", METHODS, over="chord: D"),
    Case("arpeggio", "E under its name and grid", "6:0 4:2=3 3:1=1 2:0 6:0 4:2=3 3:1=1 2:0", METHODS, "instrument: guitar\nshapes: auto", over="chord: E"),
    Case("arpeggio", "C under its grid, frets given", "5:3=3 3:0 2:1=1 1:0 5:3=3 3:0 2:1=1 1:0", METHODS, "instrument: guitar\nshapes: auto", over="chord: C", frets=True),
    Case("arpeggio", "p i m a on Am", "5:0 3:2=3 2:1=1 1:0 5:0 3:2=3 2:1=1 1:0", "from memory: Giuliani, op. 1, right-hand studies", over="chord: Am"),
    Case("arpeggio", "p i m a on C, frets given", "5:3=3 3:0 2:1=1 1:0 5:3=3 3:0 2:1=1 1:0", "from memory: Giuliani, op. 1, right-hand studies", frets=True),
    Case("arpeggio", "Am, no name over it", "5:0 4:2=2 3:2=3 2:1=1 3:2=3 4:2=2 5:0 4:2=2", METHODS, frets=True),
    Case("arpeggio", "A shape at the fifth fret", "5:0 4:7=3 3:6=2 2:5=1 3:6=2 4:7=3 5:0 4:7=3 / 5:0 4:7=4 3:6=3 2:5=1 3:6=3 4:7=4 5:0 4:7=4", COMMON, frets=True),
    Case("arpeggio", "C major, one octave", "5:3=3 4:2=2 3:0 2:1=1 3:0 4:2=2 5:3=3 4:2=2", METHODS),
    Case("arpeggio", "A minor, two octaves in the fifth position", "6:5=1 6:8=4 5:7=3 4:7=3 3:5=1 2:5=1 1:5=1 / 6:5=1 6:8=4 5:7=3 4:7=4 3:5=1 2:5=1 1:5=1", COMMON, position=5),
    Case("arpeggio", "G major, open", "6:3=3 5:2=2 4:0 3:0 2:0 2:3=3 1:3=4 / 6:3=3 5:2=2 4:0 3:0 2:0 2:3=3 1:3=3 / 6:3=2 5:2=1 4:0 3:0 2:0 2:3=3 1:3=4", METHODS),
    Case("arpeggio", "melody over open strings", "1:7 2:0 3:0 1:7 2:0 3:0 1:5 2:0", "from memory: the old Spanish Romance in E minor, the tune on string 1"),
    Case("arpeggio", "ukulele, C", "4:0 3:0 2:0 1:3=3 4:0 3:0 2:0 1:3=3", CHARTS, UKE, over=RING),
    Case("arpeggio", "ukulele, G7", "4:0 3:2=2 2:1=1 1:2=3 4:0 3:2=2 2:1=1 1:2=3", CHARTS, UKE, over="chord: G7"),
    Case("arpeggio", "ukulele, Dm", "4:2 3:2 2:1=1 1:0 4:2 3:2 2:1=1 1:0", CHARTS, UKE, over="chord: Dm", frets=True),
    Case("arpeggio", "drop D, D", "6:0 5:0 4:0 3:2=1 2:3=3 1:2=2 2:3=3 3:2=1", COMMON, DROP_D, over=RING),
)

MUSIC = (
    Case("music", "Ode to Joy", "1:0 1:0 1:1=1 1:3=3 1:3=3 1:1=1 1:0 2:3=3 2:1=1 2:1=1 2:3=3 1:0 1:0 2:3=3 2:3=3", METHODS),
    Case("music", "Greensleeves", "3:2=2 2:1=1 2:3=3 1:0 1:1=1 1:0 2:3=3 2:0 3:0 3:2=2 2:0 2:1=1 3:2=2 3:2=2 3:1=1 3:2=2 2:0 3:1=1 4:2=2", METHODS),
    Case("music", "reel in D", "4:4=4 3:0 3:2=2 4:4=4 4:0 4:4=4 3:2=2 4:4=4 4:0 4:4=4 3:2=2 2:3=3 2:3=3 2:2=2 2:3=3 2:0 3:2=2 3:0 4:4=4 4:2=2 4:0", FIDDLE),
    Case("music", "reel in G", "4:0 3:0 2:0 3:0 2:3=3 2:0 3:0 2:0 1:0 2:3=3 2:0 3:2=2 3:0 4:4=4 3:0 3:2=2 2:0 3:0 3:2=2 4:4=4 3:0", FIDDLE),
    Case("music", "jig in G with a high B", "2:0 3:0 3:0 2:3=3 3:0 3:0 1:0 1:2=2 1:3=3 1:7 1:3=3 1:0 2:3=3 2:0 3:2=2 3:0 4:4=4 4:0 3:0 3:2=2 2:0 2:3=3 1:0 2:3=3 2:0 3:2=2 3:0 3:0", FIDDLE),
    Case("music", "hornpipe in C", "3:0 2:1=1 2:0 2:1=1 3:0 4:2=2 3:0 2:1=1 1:0 2:3=3 2:1=1 2:0 3:2=2 3:0 4:3=3 4:2=2 4:0 4:2=2 4:3=3 3:0 2:1=1", FIDDLE),
    Case("music", "tune in A minor", "3:2=2 1:0 1:0 2:3=3 2:1=1 2:0 3:2=2 3:0 4:2=2 3:0 3:2=2 2:0 2:1=1 3:2=2 3:1=1 3:2=2", FIDDLE),
    Case("music", "waltz in G", "4:0 3:0 2:0 2:3=3 2:3=3 1:0 2:3=3 2:0 3:2=2 3:0 3:2=2 2:0 3:2=2 4:2=2 4:0", FIDDLE, value="1/4"),
    Case("music", "march in D", "2:3=3 2:3=3 1:0 1:2=2 1:2=2 1:0 2:3=3 2:2=2 2:0 3:2=2 2:0 2:2=2 2:3=3", FIDDLE),
    Case("music", "bass run G to C", "6:3=3 5:0 5:2=2 5:3=3 / 6:3=2 5:0 5:2=1 5:3=2", FIDDLE),
    Case("music", "bluegrass run in G", "6:3=3 5:0 5:1=1 5:2=2 4:0 4:2=2 3:0", FIDDLE),
    Case("music", "hammered run in G", "5:1=1 5:2=2,hammer-on 4:0 4:2=2,hammer-on 3:0 3:0", FIDDLE),
    Case("music", "pull-off in E", "3:2=2 3:0,pull-off 4:2=2 4:0,pull-off 5:2=2 6:0", BLUES),
    Case("music", "triplet study", "2:1=1 1:0 1:1=1 1:3=3 1:1=1 1:0 2:3=3 2:1=1 2:0 3:2=2 3:0 3:2=2 2:0 2:1=1 2:3=3 1:0 2:3=3 2:1=1", METHODS),
    Case("music", "the same phrase twice, a fourth between", "4:0 4:2=2 4:4=4 3:0 3:2=2 3:0 4:4=4 4:2=2 3:0 3:2=2 2:0 2:1=1 2:3=3 2:1=1 2:0 3:2=2 4:0 4:2=2 4:4=4 3:0 3:2=2 3:0 4:4=4 4:2=2", COMMON),
    Case("music", "blues lick in A, fifth position", "1:8=4 1:5=1 2:8=4 2:5=1 3:7=3 3:5=1 4:7=3", BLUES, avoid_open=True),
    Case("music", "blues bend in A", "3:7=3,bend full 2:5=1 1:5=1 2:8=4 2:5=1 3:7=3 / 3:7=3,bend full 2:5=1 1:5=1 2:8=3 2:5=1 3:7=3", BLUES, frets=True),
    Case("music", "full bend alone", "2:8=3,bend full 2:5=1 2:8=3,bend full 2:5=1", BLUES, frets=True),
    Case("music", "full bend, twelfth position", "1:15=3,bend full 1:12=1 2:15=3,bend full 2:12=1", BLUES, frets=True),
    Case("music", "bend alone on the first string", "1:12=3,bend full 1:12=3", BLUES, frets=True, value="1/4"),
    Case("music", "shuffle in E", "6:0+5:2=1 6:0+5:2=1 6:0+5:4=3 6:0+5:4=3 6:0+5:2=1 6:0+5:2=1 6:0+5:4=3 6:0+5:4=3", BLUES),
    Case("music", "shuffle in A", "5:0+4:2=1 5:0+4:2=1 5:0+4:4=3 5:0+4:4=3 5:0+4:2=1 5:0+4:2=1 5:0+4:4=3 5:0+4:4=3", BLUES),
    Case("music", "power chords from F", "6:1=1+5:3=3+4:3=4 6:3=1+5:5=3+4:5=4 6:6=1+5:8=3+4:8=4 6:8=1+5:10=3+4:10=4 / 6:1=1+5:3=3+4:3=4 6:3=1+5:5=3+4:5=4 6:6=1+5:8=3+4:8=4 5:3=1+4:5=3+3:5=4", BLUES, value="1/4"),
    Case("music", "power chords from G", "6:3=1+5:5=3+4:5=4 6:5=1+5:7=3+4:7=4 6:7=1+5:9=3+4:9=4 6:3=1+5:5=3+4:5=4", BLUES, value="1/4", avoid_open=True),
    Case("music", "fifths of two notes", "6:3=1+5:5=3 6:5=1+5:7=3 6:8=1+5:10=3 6:3=1+5:5=3", BLUES, value="1/4", avoid_open=True),
    Case("music", "power chords in drop D", "6:0+5:0+4:0 6:3=1+5:3=1+4:3=1 6:5=1+5:5=1+4:5=1 6:0+5:0+4:0", BLUES, DROP_D, value="1/4"),
    Case("music", "power chords in drop D, upwards", "6:2=1+5:2=1+4:2=1 6:3=1+5:3=1+4:3=1 6:7=1+5:7=1+4:7=1 6:5=1+5:5=1+4:5=1", BLUES, DROP_D, value="1/4"),
    Case("music", "thirds on strings 2 and 1", "2:3+1:2 2:5+1:3 2:7+1:5 2:8+1:7 2:7+1:5 2:5+1:3 2:3+1:2", COMMON, value="1/4"),
    Case("music", "thirds on strings 3 and 2", "3:5+2:3 3:7+2:5 3:9+2:6 3:10+2:8 3:9+2:6 3:7+2:5", COMMON, value="1/4", avoid_open=True),
    Case("music", "sixths on strings 3 and 1", "3:2+1:1 3:4+1:3 3:5+1:5 3:7+1:7 3:5+1:5 3:4+1:3", COMMON, value="1/4"),
    Case("music", "sixths on strings 4 and 2", "4:2+2:1 4:3+2:3 4:5+2:5 4:7+2:6 4:5+2:5 4:3+2:3", COMMON, value="1/4"),
    Case("music", "octaves on strings 6 and 4", "6:3=1+4:5 6:5=1+4:7 6:7=1+4:9 6:8=1+4:10", COMMON, value="1/4", avoid_open=True),
    Case("music", "tenths from C", "5:3+2:5 5:5+2:6 5:7+2:8 5:8+2:10", COMMON, value="1/4", avoid_open=True),
    Case("music", "one dyad twice, then another twice", "6:3=2+4:0 6:3=2+4:0 6:3=2+4:2=1 6:3=2+4:2=1 / 6:3=3+4:0 6:3=3+4:0 6:3=3+4:2=2 6:3=3+4:2=2", COMMON),
    Case("music", "one chord four times", "5:3=3+4:2=2+3:0+2:1=1+1:0 5:3=3+4:2=2+3:0+2:1=1+1:0 5:3=3+4:2=2+3:0+2:1=1+1:0 5:3=3+4:2=2+3:0+2:1=1+1:0", METHODS),
    Case("music", "C, Am, Dm, G7", "5:3=3+4:2=2+3:0+2:1=1+1:0 5:0+4:2=2+3:2=3+2:1=1+1:0 4:0+3:2=2+2:3=3+1:1=1 6:3=3+5:2=2+4:0+3:0+2:0+1:1=1 / 5:3=3+4:2=2+3:0+2:1=1+1:0 5:0+4:2=2+3:2=3+2:1=1+1:0 4:0+3:2=2+2:3=4+1:1=1 6:3=3+5:2=2+4:0+3:0+2:0+1:1=1", METHODS, value="1/4"),
    Case("music", "walk from C to A, bass and chord", "5:3=3 3:0+2:1=1+1:0 5:2=2 3:0+2:1=1+1:0 5:0 3:2=3+2:1=1+1:0 5:0 3:2=3+2:1=1+1:0", METHODS, value="1/4"),
    Case("music", "bass notes and C chord", "5:3=3 3:0+2:1=1+1:0 4:2=2 3:0+2:1=1+1:0", METHODS, value="1/4", over="chord: C"),
    Case("music", "slide to the fifth position", "3:5 3:7,slide 2:5=1 1:5=1 2:5=1 3:7=3", BLUES, frets=True),
    Case("music", "fifth position tune", "1:5=1 1:7=3 1:8=4 1:7=3 1:5=1 2:8=4 2:6=2 2:5=1", COMMON, position=5),
    Case("music", "tune up to A on string 1", "1:0 1:1=1 1:3=3 1:5=4 1:3=3 1:1=1 1:0 2:3=3", METHODS),
    Case("music", "ukulele, Twinkle", "3:0 3:0 2:3=3 2:3=3 1:0 1:0 2:3=3 2:1=1 2:1=1 2:0 2:0 3:2=2 3:2=2 3:0", CHARTS, UKE),
    Case("music", "ukulele, Ode to Joy", "2:0 2:0 2:1=1 2:3=3 2:3=3 2:1=1 2:0 3:2=2 3:0 3:0 3:2=2 2:0 2:0 3:2=2 3:2=2", CHARTS, UKE),
    Case("music", "ukulele, tune in F", "3:0 2:1=1 2:1=1 2:3=3 1:0 2:1=1 1:0 2:3=3 3:0 2:1=1", CHARTS, UKE),
    Case("music", "bass, root and fifth", "3:3 2:5 3:3 2:5 4:3 3:5 4:3 3:5 / 3:3 2:5 3:3 2:5 4:3 2:0 4:3 2:0", COMMON, BASS, value="1/4"),
    Case("music", "bass, walk in G", "4:3 3:2 2:0 1:0", COMMON, BASS, value="1/4"),
    Case("music", "mandolin, reel in D", "2:0 2:2=1 2:4=2 2:5=3 1:0 2:5=3 2:4=2 2:2=1 2:0 3:4=2 2:0 2:4=2 3:0", FIDDLE, MANDOLIN),
    Case("music", "mandolin, tune in G", "3:0 3:2=1 3:4=2 3:5=3 2:0 2:2=1 2:3=2 2:5=3 2:3=2 2:2=1 3:5=3 3:4=2 3:5=3", FIDDLE, MANDOLIN),
    Case("music", "drop D, low tune", "6:0 6:2=1 6:4=3 6:5=4 6:4=3 6:2=1 6:0 5:0", COMMON, DROP_D),
    Case("music", "DADGAD, tune in D", "4:0 4:2 4:4 3:0 2:0 2:2 2:4 1:0", COMMON, "instrument: guitar\ntuning: DADGAD"),
)


def _chord(name: str, frets: str, fingers: str, head: str = "instrument: guitar") -> Case:
    """A chord with the fingers that charts print; `|` before others that are as good."""

    def typed(held: str) -> str:
        pairs = [(len(frets) - at, fret, finger) for at, (fret, finger) in enumerate(zip(frets, held, strict=True))]
        return "+".join(f"{s}:{fret}" + (f"={finger}" if fret != "0" else "") for s, fret, finger in pairs if fret != "x")

    return Case("chord", name, " / ".join(map(typed, fingers.split("|"))), CHARTS, head, value="1/1", frets=True)


CHORDS = (
    _chord("C", "x32010", "032010"), _chord("A", "x02220", "001230|002130|001110"),
    _chord("G", "320003", "210003|320004"), _chord("G", "320033", "210034"),
    _chord("E", "022100", "023100"), _chord("D", "xx0232", "000132"), _chord("F", "133211", "134211"),
    _chord("F", "xx3211", "003211"), _chord("Fmaj7", "xx3210", "003210"), _chord("Am", "x02210", "002310"),
    _chord("Em", "022000", "023000|012000"), _chord("Dm", "xx0231", "000231|000241"),
    _chord("C7", "x32310", "032410"), _chord("A7", "x02020", "002030|001020"), _chord("G7", "320001", "320001"),
    _chord("E7", "020100", "020100"), _chord("E7", "022130", "023140"), _chord("D7", "xx0212", "000213"), _chord("B7", "x21202", "021304"),
    _chord("Cmaj7", "x32000", "032000"), _chord("Amaj7", "x02120", "002130"), _chord("Dmaj7", "xx0222", "000111|000123"),
    _chord("Gmaj7", "320002", "320001|310002"), _chord("Em7", "022030", "012030|023040"), _chord("Am7", "x02010", "002010"),
    _chord("Dm7", "xx0211", "000211"), _chord("Asus2", "x02200", "001200|002300"), _chord("Asus4", "x02230", "001240|002340|001230"),
    _chord("Dsus2", "xx0230", "000130|000120"), _chord("Dsus4", "xx0233", "000134|000123"), _chord("Esus4", "022200", "023400|012300"),
    _chord("Bm", "x24432", "013421"), _chord("B", "x24442", "012341|013331"), _chord("Bb", "x13331", "012341|013331"),
    _chord("F#m", "244222", "134111"), _chord("Gm", "355333", "134111"), _chord("Cm", "x35543", "013421"),
    _chord("G#", "466544", "134211"), _chord("F7", "131211", "131211"), _chord("Bb7", "x13131", "013141|012131"),
    _chord("Fm7", "131111", "131111"), _chord("Bm7", "x24232", "013121"), _chord("C9", "x32333", "021333|021334"),
    _chord("E7#9", "x7678x", "021340"), _chord("D/F#", "2x0232", "100243|T00132|200143|200132|100132"), _chord("C/G", "332010", "342010"), _chord("G/B", "x20033", "010034|020034"),
    _chord("Cadd9", "x32033", "021034"), _chord("G5", "355xxx", "134000"), _chord("A5", "x022xx", "002300|001100|001200"),
    _chord("Edim7", "xx2323", "001324|001324"), _chord("Bm7b5", "x2323x", "013240|012130"), _chord("Caug", "x32110", "043120|032110|043110"),
    _chord("F", "2010", "2010", UKE), _chord("G", "0232", "0132", UKE), _chord("D", "2220", "1110|1230|2340", UKE),
    _chord("A", "2100", "2100", UKE), _chord("Bb", "3211", "3211", UKE), _chord("Dm", "2210", "2310", UKE), _chord("E7", "1202", "1203", UKE), _chord("G7", "0212", "0213", UKE),
    _chord("Em", "0432", "0321", UKE), _chord("Bm", "4222", "3111|4111", UKE),
    _chord("G", "0023", "0012|0023", MANDOLIN), _chord("C", "0230", "0120|0230", MANDOLIN), _chord("D", "2002", "1002|2003|2001", MANDOLIN),
)

CASES = (*SCALES, *ARPEGGIOS, *MUSIC, *CHORDS)
