"""Reasoning over a book: conclude, rank, ask, plan, explain."""
