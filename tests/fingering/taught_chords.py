"""Chords with the fingers that charts print."""

from tests.fingering.case import CHARTS, MANDOLIN, UKE, Case


def _chord(name: str, frets: str, fingers: str, head: str = "instrument: guitar") -> Case:
    """A chord with the fingers that charts print; `|` before others that are as good."""

    def typed(held: str) -> str:
        pairs = [
            (len(frets) - at, fret, finger) for at, (fret, finger) in enumerate(zip(frets, held, strict=True))
        ]
        return "+".join(
            f"{s}:{fret}" + (f"={finger}" if fret != "0" else "") for s, fret, finger in pairs if fret != "x"
        )

    return Case(
        "chord", name, " / ".join(map(typed, fingers.split("|"))), CHARTS, head, value="1/1", frets=True
    )


CHORDS = (
    _chord("C", "x32010", "032010"),
    _chord("A", "x02220", "001230|002130|001110"),
    _chord("G", "320003", "210003|320004"),
    _chord("G", "320033", "210034"),
    _chord("E", "022100", "023100"),
    _chord("D", "xx0232", "000132"),
    _chord("F", "133211", "134211"),
    _chord("F", "xx3211", "003211"),
    _chord("Fmaj7", "xx3210", "003210"),
    _chord("Am", "x02210", "002310"),
    _chord("Em", "022000", "023000|012000"),
    _chord("Dm", "xx0231", "000231|000241"),
    _chord("C7", "x32310", "032410"),
    _chord("A7", "x02020", "002030|001020"),
    _chord("G7", "320001", "320001"),
    _chord("E7", "020100", "020100"),
    _chord("E7", "022130", "023140"),
    _chord("D7", "xx0212", "000213"),
    _chord("B7", "x21202", "021304"),
    _chord("Cmaj7", "x32000", "032000"),
    _chord("Amaj7", "x02120", "002130"),
    _chord("Dmaj7", "xx0222", "000111|000123"),
    _chord("Gmaj7", "320002", "320001|310002"),
    _chord("Em7", "022030", "012030|023040"),
    _chord("Am7", "x02010", "002010"),
    _chord("Dm7", "xx0211", "000211"),
    _chord("Asus2", "x02200", "001200|002300"),
    _chord("Asus4", "x02230", "001240|002340|001230"),
    _chord("Dsus2", "xx0230", "000130|000120"),
    _chord("Dsus4", "xx0233", "000134|000123"),
    _chord("Esus4", "022200", "023400|012300"),
    _chord("Bm", "x24432", "013421"),
    _chord("B", "x24442", "012341|013331"),
    _chord("Bb", "x13331", "012341|013331"),
    _chord("F#m", "244222", "134111"),
    _chord("Gm", "355333", "134111"),
    _chord("Cm", "x35543", "013421"),
    _chord("G#", "466544", "134211"),
    _chord("F7", "131211", "131211"),
    _chord("Bb7", "x13131", "013141|012131"),
    _chord("Fm7", "131111", "131111"),
    _chord("Bm7", "x24232", "013121"),
    _chord("C9", "x32333", "021333|021334"),
    _chord("E7#9", "x7678x", "021340"),
    _chord("D/F#", "2x0232", "100243|T00132|200143|200132|100132"),
    _chord("C/G", "332010", "342010"),
    _chord("G/B", "x20033", "010034|020034"),
    _chord("Cadd9", "x32033", "021034"),
    _chord("G5", "355xxx", "134000"),
    _chord("A5", "x022xx", "002300|001100|001200"),
    _chord("Edim7", "xx2323", "001324|001324"),
    _chord("Bm7b5", "x2323x", "013240|012130"),
    _chord("Caug", "x32110", "043120|032110|043110"),
    _chord("F", "2010", "2010", UKE),
    _chord("G", "0232", "0132", UKE),
    _chord("D", "2220", "1110|1230|2340", UKE),
    _chord("A", "2100", "2100", UKE),
    _chord("Bb", "3211", "3211", UKE),
    _chord("Dm", "2210", "2310", UKE),
    _chord("E7", "1202", "1203", UKE),
    _chord("G7", "0212", "0213", UKE),
    _chord("Em", "0432", "0321", UKE),
    _chord("Bm", "4222", "3111|4111", UKE),
    _chord("G", "0023", "0012|0023", MANDOLIN),
    _chord("C", "0230", "0120|0230", MANDOLIN),
    _chord("D", "2002", "1002|2003|2001", MANDOLIN),
)
