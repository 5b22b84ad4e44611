"""Whole PDF files made ready for printing or keeping: bytes in, bytes out."""
