"""The shape of knowledge: what a chapter may hold, typed and documented.

Every field's description reaches editors through the JSON Schema made from these
classes, so they are written for the teacher who adds an entry.
"""

from __future__ import annotations

from typing import Annotated, Any, Literal, get_args

from msgspec import Meta, Struct

SCHEMA = 1

Words = Annotated[str, Meta(min_length=2, description="Plain words, shown to the person.")]
Condition = Annotated[
    dict[str, Any],
    Meta(
        description="A condition: `name: value`, `name: [value, ...]`, `name: '< 20 s'`, "
        "`name: 'between 20 s and 30 s'`, joined by `all`, `any`, `none`, `known`, `unknown`."
    ),
]
YesNo = Literal["yes", "no"]
Common = Literal["very common", "common", "occasional", "uncommon", "rare", "very rare"]
Grade = Literal[
    "slight for", "substantial for", "strong for", "very strong for", "decisive for",
    "slight against", "substantial against", "strong against", "very strong against",
    "decisive against",
]
Against = Literal[
    "slight against", "substantial against", "strong against", "very strong against",
    "decisive against",
]
Typical = Literal["always", "often", "sometimes", "seldom"]
Cures = Literal["nearly always", "usually", "often", "sometimes", "seldom"]
Who = Literal["anyone", "careful owner", "technician"]
Money = Literal["none", "small", "moderate", "large"]
Signal = Literal["DANGER", "WARNING", "CAUTION", "NOTICE"]
SIGNALS: tuple[str, ...] = get_args(Signal)
"""The signal words, the gravest first."""
Within = Literal["", "direction", "whose", "broken", "going on", "drinking"]
Need = Literal["run", "heat", "open", "plugged"]
MayUse = Annotated[
    str,
    Meta(pattern=r"^(yes|yes, but .+|no, until .+)$",
         description="May one go on using it? `yes`, `yes, but ...` or `no, until ...`."),
]
Needs = Annotated[
    tuple[Need, ...],
    Meta(description="What the person must do with the machine or grinder for it: run it, heat it, "
                     "open it, or have it plugged in. Left out while it must not be used."),
]


class BookEntry(Struct, frozen=True, forbid_unknown_fields=True, kw_only=True, omit_defaults=True):
    """What every entry may carry."""

    source: Annotated[
        str, Meta(description="Published source, `common practice, no source`, or `house`.")
    ] = ""
    note: Annotated[str, Meta(description="Why it is so, for whoever maintains the book.")] = ""
    replaces: Annotated[
        YesNo, Meta(description="`yes` where a house entry stands in for a shipped one.")
    ] = "no"
    allow: Annotated[
        dict[str, str],
        Meta(description="Linter checks let pass here: check name to the reason."),
    ] = {}


class Target(BookEntry, frozen=True, kw_only=True):
    """A number or window the house aims at; the first thing a house overrides."""

    label: Words
    unit: str
    low: float | None = None
    high: float | None = None
    value: float | None = None


class Answer(Struct, frozen=True, forbid_unknown_fields=True, omit_defaults=True, kw_only=True):
    """One answer to a choice question."""

    says: Words
    lay: Annotated[tuple[str, ...], Meta(description="Other words for it.")] = ()
    share: (
        Annotated[float, Meta(gt=0, lt=1, description="How often homes give it, 0 to 1.")] | None
    ) = None
    alone: Annotated[
        YesNo, Meta(description="`yes`: of a question that takes several answers, one that can't "
                                "stand beside another, such as `none of these`.")
    ] = "no"


class Observation(BookEntry, frozen=True, kw_only=True):
    """Something a person can see, taste, hear, weigh or look up."""

    ask: Annotated[str, Meta(description="The question, one sentence ending in `?`.")]
    told: Annotated[
        str, Meta(pattern=r"\{answer\}",
                  description="How a person says an answer without its question: `the shot took {answer}`.")
    ] = ""
    how: Annotated[str, Meta(description="How to observe it.")] = ""
    kind: Literal["choice", "yes_no", "quantity", "date"]
    answers: dict[str, Answer] = {}
    unit: str = ""
    range: Annotated[
        tuple[float, float] | None, Meta(description="Plausible range in `unit`.")
    ] = None
    usual: Annotated[
        tuple[float, float] | None, Meta(description="Where four in five homes lie.")
    ] = None
    minutes: Annotated[float, Meta(ge=0, le=120, description="What it costs to find out.")]
    cautions: tuple[str, ...] = ()
    requires: Annotated[
        Condition | None, Meta(description="Asked only where this does not fail.")
    ] = None
    equipment: Annotated[
        YesNo, Meta(description="`yes`: lasts from case to case and may be remembered.")
    ] = "no"
    past: Annotated[
        YesNo, Meta(description="`yes`: asks what was done before; not asked once a fix was tried.")
    ] = "no"
    several: Annotated[
        YesNo, Meta(description="`yes`: a choice of which more than one answer may be true, such as "
                                "signs of danger; they add up.")
    ] = "no"
    needs: Needs = ()


class Measure(BookEntry, frozen=True, kw_only=True):
    """A number worked out from observations and targets by a function of the catalogue."""

    label: Words
    compute: Annotated[str, Meta(description="Function of the catalogue, as `shot.brew_ratio`.")]
    given: Annotated[
        dict[str, str],
        Meta(description="Parameter to observation, measure or `target.name[.low|.high]`."),
    ]
    default: Annotated[
        str, Meta(description="Said in a remedy where the number can't be worked out.")
    ] = ""


class FindingValue(Struct, frozen=True, forbid_unknown_fields=True, omit_defaults=True, kw_only=True):
    """One value of a finding: what it means and when it is concluded."""

    says: Words
    when: Condition | None = None
    abnormal: Annotated[
        YesNo, Meta(description="`yes`: something a fault must explain.")
    ] = "no"


class Finding(BookEntry, frozen=True, kw_only=True):
    """What is concluded from observations, numbers and other findings."""

    label: Words
    values: dict[str, FindingValue]
    several: Annotated[
        YesNo, Meta(description="`yes`: its abnormal values add up and do not contradict each other.")
    ] = "no"


class Symptom(BookEntry, frozen=True, kw_only=True):
    """A finding people complain of: the way in."""

    name: Words
    area: str
    finding: Annotated[dict[str, str], Meta(description="The finding the words claim.")]
    lay: Annotated[tuple[str, ...], Meta(description="How people say it.")]
    unless_known: Annotated[
        tuple[str, ...],
        Meta(description="Observations or measures that overrule the words once known."),
    ] = ()


class Evidence(Struct, frozen=True, forbid_unknown_fields=True, omit_defaults=True, kw_only=True):
    """A finding pattern and how much it weighs."""

    when: Condition
    weight: Grade
    otherwise: Annotated[
        Against | None, Meta(description="Weight once the condition is known to fail.")
    ] = None
    group: Annotated[
        str, Meta(description="Of one group only the weightiest counts.")
    ] = ""
    note: str = ""


class LookAlike(Struct, frozen=True, forbid_unknown_fields=True, omit_defaults=True, kw_only=True):
    """A cause easily taken for this one, and what tells them apart."""

    cause: str
    tell: Words
    ask: Annotated[tuple[str, ...], Meta(description="Observations that separate them.")]


class Cure(Struct, frozen=True, forbid_unknown_fields=True, omit_defaults=True, kw_only=True):
    """A remedy for a cause and the chance that it cures it."""

    remedy: str
    cures: Cures = "usually"


class Cause(BookEntry, frozen=True, kw_only=True):
    """What can be wrong (or, with `normal: yes`, what looks wrong and is not)."""

    name: Words
    part: str
    common: Common
    what: Words
    shows: Annotated[dict[str, Typical], Meta(description="Symptom to how often it shows.")]
    requires: Annotated[
        Condition | None, Meta(description="Known to fail: all but rules the cause out.")
    ] = None
    evidence: tuple[Evidence, ...]
    tells: Annotated[
        dict[str, dict[str, Grade]],
        Meta(description="Question to answer to what that answer alone weighs, beside the evidence; "
                         "of a quantity the answers are `low`, `usual` and `high`."),
    ] = {}
    look_alikes: tuple[LookAlike, ...] = ()
    confirm: Words
    remedies: tuple[Cure, ...]
    stop: Annotated[str, Meta(description="When to stop and hand over.")] = ""
    normal: YesNo = "no"
    use: MayUse = "yes"


class Harm(Struct, frozen=True, forbid_unknown_fields=True, omit_defaults=True, kw_only=True):
    """Where a remedy would do harm: what else may be wrong, or what is known."""

    causes: Annotated[
        tuple[str, ...], Meta(description="Causes under which doing it hurts somebody or something.")
    ] = ()
    when: Annotated[
        Condition | None, Meta(description="Known so, it is not offered at all.")
    ] = None
    why: Words


class Remedy(BookEntry, frozen=True, kw_only=True):
    """What to do, in steps with numbers; `{name}` puts in a measure, observation or target."""

    name: Words
    steps: Annotated[tuple[str, ...], Meta(min_length=1)]
    minutes: Annotated[float, Meta(gt=0, le=20160)]
    shots: Annotated[int, Meta(ge=0, description="Shots spent on trying it.")] = 0
    money: Money = "none"
    who: Who = "anyone"
    before: Annotated[str, Meta(description="What must hold before starting.")] = ""
    should: Annotated[str, Meta(min_length=2, description="What it should change, and by when.")]
    undo: str = ""
    reversible: YesNo = "yes"
    tools: str = ""
    changes: Annotated[
        tuple[str, ...], Meta(description="Observations to take again afterwards.")
    ] = ()
    requires: Annotated[
        Condition | None, Meta(description="Offered only where this does not fail.")
    ] = None
    harmful_under: Annotated[
        Harm | None, Meta(description="Never first while one of these causes is at 10 % or more.")
    ] = None
    tried_when: Annotated[
        Condition | None, Meta(description="Known so, it was tried already without effect.")
    ] = None
    again: Annotated[
        str, Meta(description="What to do once more while it keeps helping; empty: once is all.")
    ] = ""
    cautions: tuple[str, ...] = ()
    stop: str = ""
    needs: Needs = ()


class Caution(BookEntry, frozen=True, kw_only=True):
    """A hazard: signal word in the sense of ANSI Z535.6, what can happen, how to avoid it."""

    signal: Signal
    text: Annotated[str, Meta(min_length=2, description="What can happen.")]
    avoid: Annotated[str, Meta(min_length=2, description="How to avoid it.")]
    when: Annotated[
        Condition | None, Meta(description="Shown by itself whenever this holds.")
    ] = None
    stop: Annotated[
        YesNo, Meta(description="`yes`: nothing else is suggested while it holds.")
    ] = "no"
    go_on: Annotated[
        str, Meta(description="What the person must have done before the consult goes on; "
                  "empty: it ends with a hand-over.")
    ] = ""


class Hazard(BookEntry, frozen=True, kw_only=True):
    """A sign of danger people tell of: what it means, what comes first, and whether to go on."""

    name: Words
    means: Annotated[str, Meta(min_length=2, description="What must be true for it, one sentence.")]
    kind: Literal["mains", "fire", "pressure", "heat", "glass", "burrs", "chemical", "food", "gas",
                  "child", "fall", "part"]
    signal: Signal
    symptom: Annotated[str, Meta(description="The complaint that tells it.")]
    when: Annotated[
        Condition | None,
        Meta(description="Told by answers when this holds; left out: when the symptom's finding does."),
    ] = None
    caution: Annotated[str, Meta(description="The caution that it raises.")]
    hurt: Annotated[
        YesNo, Meta(description="`yes`: somebody is or may be hurt, so it comes before all others.")
    ] = "no"
    stop: Annotated[YesNo, Meta(description="`yes`: out of use from now on.")]
    use: Annotated[
        MayUse, Meta(description="May one go on using it? `yes, but ...` or `no, until ...`.")]
    first: Annotated[str, Meta(min_length=2, description="What to do before anything else.")]
    first_aid: Annotated[
        str, Meta(description="Help for whoever is hurt, and who to ring, without any number.")
    ] = ""


class Rule(BookEntry, frozen=True, kw_only=True):
    """A rule by itself: when this, then a finding, a weight on causes, or a caution."""

    when: Condition
    then: dict[str, str] = {}
    weigh: dict[str, Grade] = {}
    caution: str = ""


class Practice(BookEntry, frozen=True, kw_only=True):
    """A question of practice and its answer; `{name}` puts in a measure or target, as in a remedy."""

    asks: Annotated[str, Meta(description="The question, one sentence ending in `?`.")]
    lay: Annotated[tuple[str, ...], Meta(description="Other ways in which people ask it.")] = ()
    answer: Annotated[
        str, Meta(min_length=2, description="The answer in one to three sentences; the first says it.")
    ]
    numbers: Annotated[str, Meta(description="The numbers that go with it.")] = ""
    worked: Annotated[
        tuple[str, ...],
        Meta(description="Measures that answer first where the question's own figures give them; "
                         "the first that can be worked out is said."),
    ] = ()
    depends: Annotated[str, Meta(description="What it depends on, one sentence.")] = ""
    ask_back: Annotated[str, Meta(description="The one thing to ask back, ending in `?`.")] = ""
    now: Annotated[str, Meta(min_length=2, description="What to do now, one or two sentences.")]
    maker: Annotated[str, Meta(description="The maker's word on it, which wins.")] = ""
    within: Annotated[
        Within, Meta(description="What a case decides where the question is asked inside a trouble.")
    ] = ""
    cautions: Annotated[
        tuple[str, ...], Meta(description="Shown with the answer; they stop nothing.")
    ] = ()


class Retire(Struct, frozen=True, forbid_unknown_fields=True, omit_defaults=True, kw_only=True):
    """A shipped entry that does not count in this house."""

    kind: Literal["targets", "observations", "measures", "findings", "symptoms", "causes",
                  "remedies", "cautions", "rules", "practice"]
    id: str
    reason: Words


class Phrase(Struct, frozen=True, forbid_unknown_fields=True, omit_defaults=True, kw_only=True):
    """Words of this house's people, and the trouble or question of the book that they mean."""

    words: Annotated[str, Meta(min_length=2, description="The words, as people say them.")]
    means: Annotated[str, Meta(description="The symptom or question of practice that is meant.")]


class Headings(Struct, frozen=True, forbid_unknown_fields=True, omit_defaults=True, kw_only=True):
    """The headings of a reply to a letter; an empty one leaves the heading out."""

    probable: Annotated[str, Meta(description="Over what it probably is.")] = "What it probably is"
    step: Annotated[str, Meta(description="Over the one thing to try.")] = "What to try"
    report: Annotated[str, Meta(description="Over the questions.")] = "What to tell me then"
    besides: Annotated[str, Meta(description="Over a trouble of its own.")] = "And the other matter"
    more: Annotated[str, Meta(description="Over the rest of an answer.")] = "More on what you asked"


class LetterFrame(Struct, frozen=True, forbid_unknown_fields=True, omit_defaults=True, kw_only=True):
    """How this house begins and ends its replies to letters; what is left out is a plain default."""

    greeting: Annotated[
        str, Meta(min_length=2, description="One line; `{name}` puts in who wrote.")
    ] = "Hello {name},"
    nameless: Annotated[
        str, Meta(min_length=2, description="The greeting where nobody knows who wrote.")
    ] = "Hello,"
    close: Annotated[
        str, Meta(min_length=2, description="The last sentences, before the signature.")
    ] = "Write again and say how it went."
    signature: Annotated[str, Meta(description="Who answers, in one line or a few.")] = ""
    headings: Headings = Headings()


class Chapter(Struct, frozen=True, forbid_unknown_fields=True, omit_defaults=True, kw_only=True):
    """One file of knowledge: a part of the work, or a house's own rules."""

    schema: Annotated[int, Meta(ge=SCHEMA, le=SCHEMA)]
    chapter: str
    title: Words
    targets: dict[str, Target] = {}
    observations: dict[str, Observation] = {}
    measures: dict[str, Measure] = {}
    findings: dict[str, Finding] = {}
    symptoms: dict[str, Symptom] = {}
    causes: dict[str, Cause] = {}
    remedies: dict[str, Remedy] = {}
    cautions: dict[str, Caution] = {}
    hazards: dict[str, Hazard] = {}
    rules: dict[str, Rule] = {}
    practice: dict[str, Practice] = {}
    retires: tuple[Retire, ...] = ()
    phrases: Annotated[
        tuple[Phrase, ...], Meta(description="Words of the house for troubles and questions of the book.")
    ] = ()
    letter: Annotated[
        LetterFrame | None, Meta(description="How the house's replies to letters begin and end.")
    ] = None


KINDS = ("targets", "observations", "measures", "findings", "symptoms", "causes", "remedies",
         "cautions", "hazards", "rules", "practice")
