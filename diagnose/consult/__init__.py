"""One case in progress: answers, undo, outcomes, what comes next; no terminal in sight."""
