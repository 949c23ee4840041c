"""A part's graph in, marks at fixed places and plain strokes out; no SVG, no words, no language, no paper known by name."""
