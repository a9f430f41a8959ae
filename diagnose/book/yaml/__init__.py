"""Chapters out of their files, read strictly."""
