"""The test sheet: words, screen, files, rows for paper."""
