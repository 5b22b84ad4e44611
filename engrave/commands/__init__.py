"""One module a command: a request goes in, an outcome comes out; files are written whole or not at all."""
