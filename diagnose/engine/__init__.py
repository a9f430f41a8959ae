"""Forward chaining with stratified negation, over durable-rules; nothing else touches that library."""

from diagnose.engine.chain import Engine, Firing, Outcome, levels
from diagnose.engine.errors import EngineError
from diagnose.engine.rule import Fact, Pattern, Rule

__all__ = ["Engine", "EngineError", "Fact", "Firing", "Outcome", "Pattern", "Rule", "levels"]
