"""The person's notebook: equipment, shots, weighings, waters and cleanings, in one SQLite file."""
