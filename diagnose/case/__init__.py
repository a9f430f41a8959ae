"""One case: its events, what comes next, its file; no terminal in sight."""
