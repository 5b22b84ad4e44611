"""From MusicXML elements to the tree of a score, with losses told."""
