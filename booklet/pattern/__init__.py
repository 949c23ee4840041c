"""What the author meant: a source tree in, yarns, notions, parts and steps out; rounds are still words here."""
