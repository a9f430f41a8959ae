"""The typed knowledge: model, strict YAML reading, conditions, the book, its linter."""
