"""Constants that decide: each is held by a test that fails when it is moved."""
