"""What each measure holds before its width is known: rhythm, chords, frets, columns."""
