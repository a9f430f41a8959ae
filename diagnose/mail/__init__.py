"""The mailbag: complaints by the file, a reply drafted for each; nothing is ever sent."""
