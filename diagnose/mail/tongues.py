"""The one line for a letter in another language, in that language."""

from __future__ import annotations

from diagnose.reading.language import ENGLISH

LINES = {
    "German":
        "Dieser Brief ist auf Deutsch, und hier wird nur Englisch gelesen: Bitte schreiben Sie noch einmal "
        "auf Englisch; wenn etwas verbrannt riecht, raucht oder einen Schlag gibt, ausschalten und nicht "
        "mehr benutzen.",
    "French":
        "Votre lettre est en français, et ici on ne lit que l'anglais : merci d'écrire de nouveau en "
        "anglais ; si quelque chose sent le brûlé, fume ou donne une secousse, éteignez la machine et ne "
        "l'utilisez plus.",
    "Italian":
        "La sua lettera è in italiano e qui si legge solo l'inglese: scriva di nuovo in inglese, per "
        "favore; se qualcosa odora di bruciato, fuma o dà la scossa, spenga la macchina e non la usi più.",
    "Spanish":
        "Su carta está en español y aquí solo se lee inglés: escriba de nuevo en inglés, por favor; si algo "
        "huele a quemado, echa humo o da calambre, apague la máquina y no la use más.",
    "Portuguese":
        "A sua carta está em português e aqui só se lê inglês: escreva de novo em inglês, por favor; se "
        "algo cheira a queimado, deita fumo ou dá choque, desligue a máquina e não a use mais.",
    "Dutch":
        "Uw brief is in het Nederlands en hier wordt alleen Engels gelezen: schrijf alstublieft opnieuw in "
        "het Engels; als iets verbrand ruikt, rookt of een schok geeft, zet de machine uit en gebruik haar "
        "niet meer.",
    "Polish":
        "Ten list jest po polsku, a tutaj czytamy tylko po angielsku: proszę napisać jeszcze raz po "
        "angielsku; jeśli coś pachnie spalenizną, dymi lub kopie prądem, proszę wyłączyć ekspres i więcej go "
        "nie używać.",
    "Swedish":
        "Brevet är på svenska och här läses bara engelska: skriv gärna igen på engelska; om något luktar "
        "bränt, ryker eller ger en stöt, stäng av maskinen och använd den inte mer.",
}
"""A language of the lexicon to its line: write again in English, and what to do in danger."""
OTHER = ("This letter can't be read here, only English can: please write again in English; if anything "
         "smells burnt, smokes or gives a shock, switch it off and do not use it.")


def line(language: str) -> str:
    """The line for a language; empty for English."""
    return "" if language == ENGLISH else LINES.get(language, OTHER)
