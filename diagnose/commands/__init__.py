"""The commands, one module each: `add(commands)` states its arguments, `run(args)` does it."""
