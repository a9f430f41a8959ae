"""Forward chaining with stratified negation, over durable-rules; nothing else touches that library."""

from diagnose.engine.chain import Engine, Firing, RunResult, levels
from diagnose.engine.errors import EngineError
from diagnose.engine.rule import Fact, NameTest, Rule

__all__ = ["Engine", "EngineError", "Fact", "Firing", "NameTest", "Rule", "RunResult", "levels"]
