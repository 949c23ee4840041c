"""Bytes for people and machines: SVG, HTML, pictures, PDF; nothing is computed about the pattern here."""
