"""PDF in, PDF or findings out, for the print shop; what a pattern is, is not known here."""
