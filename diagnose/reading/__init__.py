"""What a person's own words say: symptoms, answers, numbers, dangers."""
