"""Figures: what is drawn of a curve or a roof, how it is laid out, and how it is put out as SVG and PNG."""
