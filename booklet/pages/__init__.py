"""What a layout may print: the page model of one edition, in its words; no HTML, no paper, no files."""
