"""The window's language: Qt's own words, the window's, and those of the core."""

from pathlib import Path

from PySide6.QtCore import QLibraryInfo, QLocale, QSettings, QTranslator

from radmeasure.reports.words import languages, use_language, wanted_language

_FOLDER = Path(__file__).with_name("languages")
SETTING = "language"


def speak(app, settings=None):
    """Put the application into the language wanted.

    ``RADMEASURE_LANGUAGE`` comes first, then the window's setting, then the system's
    languages. Text that is already on the screen stays as it is.
    """
    settings = settings or QSettings("radmeasure", "radmeasure")
    code = wanted_language(str(settings.value(SETTING, "")), *QLocale.system().uiLanguages())
    use_language(code)
    QLocale.setDefault(_locale(code))
    for translator in app.findChildren(QTranslator):
        app.removeTranslator(translator)
        translator.deleteLater()
    for name, folder in (
        (f"qtbase_{code}", QLibraryInfo.path(QLibraryInfo.LibraryPath.TranslationsPath)),
        (f"radmeasure_{code}", str(_FOLDER)),
    ):
        translator = QTranslator(app)
        if translator.load(name, folder):
            app.installTranslator(translator)
        else:
            translator.deleteLater()
    return code


def _locale(code):
    """British for English, so that dates and numbers do not follow the machine."""
    if code == "en":
        return QLocale(QLocale.Language.English, QLocale.Country.UnitedKingdom)
    return QLocale(code)


def choices():
    """(code, the language's name in that language) of every language there is."""
    return [(code, _locale(code).nativeLanguageName()) for code in languages()]
