"""Speed and memory, measured."""
