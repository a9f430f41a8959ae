"""What may lie on the screen, from the complaint to the end."""
