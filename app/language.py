"""The language the window speaks: the one chosen, else the system's where there is a translation, else English.

Which decimal sign goes with it is settled here and nowhere else.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QCoreApplication, QLibraryInfo, QLocale, QTranslator

from framecore.words import ENGLISH, decimal_sign, languages, speak

if TYPE_CHECKING:
    from app.document import Settings


def begin_speaking(settings: Settings, asked: str = "") -> str:
    """Speak the language for this run and return its code; ``asked`` for on the command line goes before all others.

    The numbers go with the words: a comma in German, a point where English was chosen. English that nobody chose, as the
    system's language has no translation here, is spoken with the system's decimal sign.
    """
    chosen = asked or settings.language
    code = chosen or QLocale.system().name().partition("_")[0]
    code = code if code in languages() else ENGLISH
    speak(code, "." if chosen else _systems_sign())
    if code != ENGLISH or chosen:
        _toolkit_counts(code)
    if code != ENGLISH:
        _toolkit_speaks(code)
    return code


def _systems_sign() -> str:
    return "," if QLocale.system().decimalPoint() == "," else "."


def _toolkit_counts(code: str) -> None:
    """Let the toolkit's own fields write numbers as the words do; what the system measures in stays."""
    system = QLocale.system()
    if system.name().partition("_")[0] == code and system.decimalPoint() == decimal_sign():
        return
    feet = system.measurementSystem() == QLocale.MeasurementSystem.ImperialUSSystem
    QLocale.setDefault(QLocale("en_US" if feet else "en_GB") if code == ENGLISH else QLocale(code))


def _toolkit_speaks(code: str) -> None:
    """Load the toolkit's own words: Cancel, and its file dialog."""
    application = QCoreApplication.instance()
    translator = QTranslator(application)
    if application and translator.load(f"qtbase_{code}", QLibraryInfo.path(QLibraryInfo.LibraryPath.TranslationsPath)):
        application.installTranslator(translator)
