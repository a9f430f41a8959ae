"""Search of the book by lay words."""
