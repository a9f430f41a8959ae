"""Which question pays most, and whether any does."""
