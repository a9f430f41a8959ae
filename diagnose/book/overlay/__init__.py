"""House files laid over the shipped chapters, and what they may not do."""
