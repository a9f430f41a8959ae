"""The consult: what a person typed in, what is on the screen next out."""
