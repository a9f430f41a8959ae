"""Why: conclusions, causes and chances in words."""
