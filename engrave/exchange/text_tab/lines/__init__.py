"""The lines of a typed tab: what each kind of line says, for the reader and the writer."""
