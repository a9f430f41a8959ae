"""Symptom search over lay words, and reading a free-text complaint."""
