"""What a teacher hands out, and what the records say to teach next."""
