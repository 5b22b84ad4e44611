"""A score as it sounds: unfolded, timed, ornamented; MIDI and sound both play what comes out."""
