"""Fixed wordings: phrases and patterns that state a symptom or an answer by themselves."""
