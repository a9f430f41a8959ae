"""What stands on this machine: where it stands, the cache, and files written whole or not at all."""
