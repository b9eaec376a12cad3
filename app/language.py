"""The language the window speaks: the one chosen, else the system's where there is a translation, else English."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QCoreApplication, QLibraryInfo, QLocale, QTranslator

from framecore.words import ENGLISH, current, languages, speak

if TYPE_CHECKING:
    from app.document import Settings


def begin_speaking(settings: Settings) -> str:
    """Speak the language for this run and return its code; one asked for on the command line is left alone."""
    if current() == ENGLISH:
        chosen = settings.language or QLocale.system().name().partition("_")[0]
        speak(chosen if chosen in languages() else ENGLISH)
    code = current()
    if QLocale().name().partition("_")[0] != code and (code != ENGLISH or settings.language):
        QLocale.setDefault(QLocale(code))  # numbers go with the words
    if code != ENGLISH:
        _toolkit_speaks(code)
    return code


def _toolkit_speaks(code: str) -> None:
    """Load the toolkit's own words: Cancel, and its file dialog."""
    application = QCoreApplication.instance()
    translator = QTranslator(application)
    if application and translator.load(f"qtbase_{code}", QLibraryInfo.path(QLibraryInfo.LibraryPath.TranslationsPath)):
        application.installTranslator(translator)
