"""What a teacher would write: scales, arpeggios, music and chords with the places and fingers that are taught.

A case is typed as it is taught, `string:fret=finger` with words after a comma (`4:2=2,hammer-on`), `+` between notes that
sound together; `/` stands before other ways that are as good. What is not typed is free. `tests/fingering/report.py`
forgets strings and fingers (or fingers alone, where `frets` are given) and counts what is chosen as taught. No weight was
set so that one case of these comes out; what does not is left in the table.
"""

from tests.fingering.taught_chords import CHORDS
from tests.fingering.taught_music import MUSIC
from tests.fingering.taught_scales import ARPEGGIOS, SCALES

CASES = (*SCALES, *ARPEGGIOS, *MUSIC, *CHORDS)
