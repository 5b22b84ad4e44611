"""What can be made from a YAML document: each kind read, laid out and given to the pipeline as placed pages."""
