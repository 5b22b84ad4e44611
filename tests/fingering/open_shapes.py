"""Open-position shapes that every guitar book prints (common practice, no source)."""

OPEN_SHAPES = {
    "C": "x32010", "A": "x02220", "G": "320003", "E": "022100", "D": "xx0232", "F": "133211",
    "Am": "x02210", "Em": "022000", "Dm": "xx0231", "C7": "x32310", "A7": "x02020", "G7": "320001",
    "E7": "020100", "D7": "xx0212", "B7": "x21202", "Cmaj7": "x32000", "Amaj7": "x02120", "Dmaj7": "xx0222",
    "Gmaj7": "320002", "Fmaj7": "xx3210", "Em7": "022030 020000", "Am7": "x02010", "Dm7": "xx0211",
    "Asus2": "x02200", "Asus4": "x02230", "Dsus2": "xx0230", "Dsus4": "xx0233", "Esus4": "022200",
    "A7sus4": "x02030", "Cadd9": "x32030", "C6": "x32210", "G6": "320000", "Am6": "x02212", "Dm6": "xx0201",
    "E5": "022xxx", "A5": "x022xx", "D5": "xx023x", "Bm": "x24432", "F#m": "244222", "B": "x24442",
    "Bb": "x13331", "Gm": "355333", "Cm": "x35543", "Bdim": "x2343x", "Caug": "x32110", "Edim7": "xx2323",
    "Bm7b5": "x2323x", "E7#9": "076780", "D/F#": "200232", "G/B": "x20003", "C/G": "332010",
}  # fmt: skip
"""Shapes by chord name, strings 6 to 1; two where both are common."""
