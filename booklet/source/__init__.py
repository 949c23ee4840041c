"""The author's text as a lossless tree: bytes in, blocks and head values with their places out; never fails, knows no trade."""
