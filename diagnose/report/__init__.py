"""A case as one page to print and put beside the machine."""
