"""A book with all that reasons over it, built once and shared by every case."""

from __future__ import annotations

from functools import cached_property

from diagnose.book.book import Book
from diagnose.reason.infer.infer import Reasoner
from diagnose.reason.infer.measures import NO_HISTORY, History
from diagnose.reason.infer.prior import Priors
from diagnose.reason.multiple_faults import Explainers
from diagnose.reason.plan import Planner
from diagnose.reason.questions.ask import Asker
from diagnose.reason.questions.gates import Gates
from diagnose.reason.questions.reach import Reach
from diagnose.reason.questions.score import Scorer
from diagnose.reason.questions.told import Told
from diagnose.reason.require import Requirements


class System:
    """The reasoning parts over one book and one person's history.

    `priors` are those of a book with the same causes, symptoms and questions, where there is one.
    """

    def __init__(self, book: Book, history: History = NO_HISTORY, priors: Priors | None = None) -> None:
        self.book, self.history, self._priors = book, history, priors

    @cached_property
    def reasoner(self) -> Reasoner:
        """Runs the engine."""
        return Reasoner(self.book, self.history, self._priors)

    @cached_property
    def scorer(self) -> Scorer:
        """Scores causes."""
        return Scorer(self.reasoner)

    @cached_property
    def planner(self) -> Planner:
        """Orders fixes."""
        return Planner(self.book)

    @cached_property
    def reach(self) -> Reach:
        """Knows which questions bear on which causes."""
        return Reach(self.book)

    @cached_property
    def asker(self) -> Asker:
        """Chooses questions."""
        return Asker(self.book, self.scorer, self.planner, self.reach)

    @cached_property
    def questions(self) -> Requirements:
        """Knows which questions the answers rule out."""
        return Requirements(self.book, "observations")

    @cached_property
    def seldom_asked(self) -> Gates:
        """Knows which questions hardly apply once another can't be answered."""
        return Gates(self.book, self.asker.answers)

    @cached_property
    def told(self) -> Told:
        """Knows which questions a complaint answers."""
        return Told(self.book)

    @cached_property
    def remedies(self) -> Requirements:
        """Knows which remedies the answers rule out."""
        return Requirements(self.book, "remedies")

    @cached_property
    def harmful(self) -> Requirements:
        """Knows which remedies would do harm, by what is known."""
        return Requirements(self.book, "remedies", ("harmful_under", "when"))

    @cached_property
    def tried_in_answers(self) -> Requirements:
        """Knows which remedies the answers say were tried without effect."""
        return Requirements(self.book, "remedies", ("tried_when",))

    @cached_property
    def explainers(self) -> Explainers:
        """Knows which findings each cause explains."""
        return Explainers(self.book)
