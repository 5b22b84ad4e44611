"""From placed marks to PDF, SVG and PNG."""
