"""Facts of music: pitch, key, clef, duration, metre, instruments, chords, repeats."""
