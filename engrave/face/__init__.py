"""The music face: its symbols drawn as pen strokes, compiled to TrueType. For development only; using the face needs none of it."""
