"""What can be said about a place in a file: values only; the words live in shared/diagnostics, the printing in reports."""
