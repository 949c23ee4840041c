"""A pattern and its graph in, sizes, yarn, stuffing and cautions out; nothing is drawn, no words of an edition."""
