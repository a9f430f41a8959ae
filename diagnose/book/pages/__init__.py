"""The book as pages to read."""
