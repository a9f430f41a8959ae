"""Forward chaining with stratified negation, over durable-rules; nothing else touches that library."""

from diagnose.engine.chain import Engine, Firing, RunResult, levels
from diagnose.engine.errors import EngineError
from diagnose.engine.rule import EngineRule, Fact, NameTest

__all__ = ["Engine", "EngineError", "EngineRule", "Fact", "Firing", "NameTest", "RunResult", "levels"]
