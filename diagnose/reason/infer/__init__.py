"""Facts to findings and evidence."""
