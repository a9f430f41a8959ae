"""Find the one thing to change next when espresso at home goes wrong."""

__version__ = "0.1.0"
