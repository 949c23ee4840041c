"""Candidate trees in, settled rounds and a graph of every stitch out, proved by the checks; no sizes, no words of an edition."""
