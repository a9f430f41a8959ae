"""House rules: added by plain questions, tried on every case before they count, kept as plain files."""
