"""The book: typed model, strict YAML reading, conditions, all chapters laid together."""
