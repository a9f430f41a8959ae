"""Which field each column of somebody's own table is: guessed from its heading, unit and all."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from rapidfuzz import fuzz, process

from diagnose.compute import units
from diagnose.compute.unit_table import spelled
from diagnose.notebook.fields import KINDS, Field
from diagnose.search import text as spelling

CLOCK = "clock"
"""A column of times of day, which goes with that of the days."""
WORDS: Mapping[str, tuple[str, ...]] = {
    "at": ("date", "day", "when", "date and time", "timestamp", "datum", "tag", "wann", "jour", "fecha",
           "dia", "data", "giorno", "datum en tijd"),
    CLOCK: ("clock", "time of day", "hour", "uhrzeit", "uhr", "heure", "hora", "ora", "tijdstip"),
    "grinder": ("grinder", "mill", "muhle", "kaffeemuhle", "moulin", "molinillo", "macinino", "molen"),
    "mark": ("mark", "grind", "setting", "grind setting", "grinder setting", "grind size", "click", "clicks",
             "dial", "mahlgrad", "einstellung", "stufe", "mouture", "reglage", "molienda", "macinatura",
             "maalgraad", "maalstand"),
    "dose_g": ("dose", "in", "dose in", "coffee in", "weight in", "dry coffee", "coffee", "grounds", "input",
               "einwaage", "kaffee", "kaffeemenge", "dosis", "dosi", "dosaggio", "pulver", "mehl"),
    "yield_g": ("yield", "out", "coffee out", "weight out", "drink", "beverage", "output", "in the cup",
                "cup", "auslauf", "ausbeute", "getrank", "bezug", "tasse", "boisson", "tazza", "bevanda",
                "taza", "bebida", "resa", "drank"),
    "shot_time_s": ("time", "shot time", "seconds", "sec", "duration", "extraction", "extraction time",
                    "brew time", "zeit", "dauer", "durchlaufzeit", "bezugszeit", "temps", "duree", "tiempo",
                    "tempo", "tijd", "doorlooptijd"),
    "beans": ("beans", "bean", "bag", "name of the coffee", "bohne", "bohnen", "sorte", "grains", "grano",
              "granos", "chicchi", "bonen"),
    "roast_date": ("roast date", "roasted", "roast", "roasted on", "rostdatum", "gerostet", "rostung",
                   "torrefaction", "tueste", "tostatura", "branddatum"),
    "taste": ("taste", "flavour", "flavor", "in the mouth", "geschmack", "gout", "sabor", "gusto", "smaak"),
    "note": ("note", "notes", "comment", "comments", "remark", "remarks", "notiz", "notizen", "bemerkung",
             "anmerkung", "kommentar", "remarque", "nota", "notas", "opmerking"),
    "timer_s": ("timer", "timer setting", "timer time", "zeitschaltung"),
    "litres": ("litres", "liters", "water used", "liter", "menge wasser", "litros", "litri"),
    "hardness_mg_l": ("hardness", "total hardness", "harte", "gesamtharte", "durete", "dureza", "durezza"),
    "alkalinity_mg_l": ("alkalinity", "carbonate hardness", "karbonatharte", "alcalinite", "alcalinidad"),
    "ph": ("ph", "ph value", "ph wert"),
    "conductivity_us_cm": ("conductivity", "leitfahigkeit", "leitwert"),
    "source": ("source", "water from", "quelle"),
    "what": ("what", "job", "cleaning", "what was done", "was", "reinigung"),
    "name": ("name",), "value": ("value", "wert"),
}
"""Field to the headings that people give it, in plain small letters."""
_UNIT = re.compile(r"(?P<says>.*?)\s*(?:[(\[](?P<bracket>[^)\]]*)[)\]]|[,/]\s*(?P<comma>[^,/\s]+)|"
                   r"\s(?:in|as)\s+(?P<word>\S+)|_(?P<bar>[a-z]{1,2}))\s*")
LIKE = 88
"""Likeness, of 100, from which a heading with a slip in it is taken."""


@dataclass(frozen=True)
class Column:
    """One column: its heading, the field it is (none: left out), the unit its bare numbers have."""

    head: str
    field: str = ""
    unit: str = ""

    def said(self, kind: str) -> str:
        """How it is read, in words."""
        if not self.field:
            return f"{self.head}: left out"
        unit = self.unit or next((f.unit for f in KINDS[kind] if f.name == self.field), "")
        what = "the time of day" if self.field == CLOCK else self.field
        return f"{self.head}: {what}" + (f", bare numbers in {unit}" if unit and unit != "marks" else "")


def guess(heads: Sequence[str], kind: str, named: Mapping[str, str]) -> list[Column]:
    """The columns of a kind of entry, each field once; `named` are those that a person stated."""
    fields = {f.name: f for f in KINDS[kind]}
    found: dict[int, Column] = {}
    taken: set[str] = set()
    for sure in (True, False):
        for place, head in enumerate(heads):
            if place in found:
                continue
            name, unit = _field(head, fields, named, sure)
            if name and name not in taken:
                found[place] = Column(head, name, unit)
                taken.add(name)
    return [found.get(place, Column(head)) for place, head in enumerate(heads)]


def _field(head: str, fields: Mapping[str, Field], named: Mapping[str, str], sure: bool) -> tuple[str, str]:
    """The field of a heading, and its unit; where one is `sure`, only one with nothing to doubt."""
    says, unit = _parts(head)
    if head in named:
        name = named[head]
    elif head in fields:
        return head, ""
    else:
        name = _named(says, [n for n in (*fields, CLOCK) if n in WORDS], sure)
    stated = fields.get(name)
    if stated is None or stated.kind != "quantity":
        return name, ""
    known = spelled(unit, units.kind(stated.unit)) if unit else None
    if unit and known is None and name == "shot_time_s":
        return (CLOCK, "") if not sure else ("", "")  # such as Time (h)
    return name, known.id if known else ""


def _parts(head: str) -> tuple[str, str]:
    """A heading without its unit, in plain small letters, and the unit."""
    found = _UNIT.fullmatch(head)
    unit = next((u for u in (found["bracket"], found["comma"], found["word"], found["bar"]) if u), "") \
        if found else ""
    return plain(found["says"] if found and unit else head), unit.strip()


def plain(text: str) -> str:
    """Small letters without accents, one blank between words."""
    return " ".join(re.sub(r"[^\w]|_", " ", spelling.plain(text)).split())


def _named(says: str, among: Iterable[str], sure: bool) -> str:
    words = {word: name for name in among for word in (*WORDS[name], plain(name))}
    if says in words:
        return words[says]
    if sure or not says:
        return ""
    like = process.extractOne(says, list(words), scorer=fuzz.token_sort_ratio, score_cutoff=LIKE)
    within = [word for word in words if len(word) > 2 and f" {word} " in f" {says} "]
    best = like[0] if like else max(within, key=len, default="")
    return words[best] if best else ""


def kind_of(heads: Sequence[str], named: Mapping[str, str]) -> str:
    """The kind of entry that most of the columns belong to."""
    def fit(kind: str) -> tuple[int, int, bool]:
        own = sum(head in {f.name for f in KINDS[kind]} for head in heads)
        used = sum(bool(c.field) for c in guess(heads, kind, named))
        return own, used, used == len(KINDS[kind])

    return max(KINDS, key=fit)
