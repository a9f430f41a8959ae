"""The trade's arithmetic on its own: numbers with units in, numbers in plain words out."""
