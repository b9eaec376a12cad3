"""What the window remembers between runs: one thin wrapper, so that tests hand in their own store."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QByteArray, QSettings

RECENT_MAX = 8
VERSION = 1


class Settings:
    """Remembered choices.

    Parameters
    ----------
    store : the toolkit's key-value store; the user's own by default.
    """

    def __init__(self, store: QSettings | None = None) -> None:
        self.store = store if store is not None else QSettings("standwright", "standwright")
        if str(self.store.value("version", VERSION)) != str(VERSION):
            # A store from another version is not trusted with window geometry.
            self.store.remove("window")
        self.store.setValue("version", VERSION)

    @property
    def recent(self) -> tuple[Path, ...]:
        """Files opened last, newest first."""
        raw = self.store.value("recent", [])
        names = [raw] if isinstance(raw, str) else list(raw or [])
        return tuple(Path(n) for n in names if n)

    def add_recent(self, path: Path) -> None:
        """Put ``path`` at the head of the recent files."""
        path = path.resolve()
        self.folder = path.parent
        rest = [p for p in self.recent if p != path]
        self.store.setValue("recent", [str(p) for p in (path, *rest)][:RECENT_MAX])

    @property
    def dark(self) -> bool:
        """Whether the dark palette is chosen."""
        return str(self.store.value("dark", "false")).lower() == "true"

    @dark.setter
    def dark(self, on: bool) -> None:
        self.store.setValue("dark", "true" if on else "false")

    @property
    def language(self) -> str:
        """Code of the language chosen, "" where the system's is taken."""
        return str(self.store.value("language", ""))

    @language.setter
    def language(self, code: str) -> None:
        self.store.setValue("language", code)

    def save_window(self, name: str, data: QByteArray) -> None:
        """Remember a geometry or layout."""
        self.store.setValue(f"window/{name}", data)

    def window(self, name: str) -> QByteArray | None:
        """Return a remembered geometry or layout."""
        data = self.store.value(f"window/{name}")
        return data if isinstance(data, QByteArray) else None

    def save_names(self, name: str, names: list[str]) -> None:
        """Remember a list of names; an empty one too."""
        self.store.setValue(f"window/{name}", "|".join(names))

    def names(self, name: str) -> frozenset[str] | None:
        """Return a remembered list of names, None where none was remembered."""
        raw = self.store.value(f"window/{name}")
        return None if raw is None else frozenset(n for n in str(raw).split("|") if n)

    @property
    def folder(self) -> Path | None:
        """Folder a file was opened from or saved to last, while it is there."""
        raw = self.store.value("folder")
        folder = Path(str(raw)) if raw else None
        return folder if folder is not None and folder.is_dir() else None

    @folder.setter
    def folder(self, path: Path) -> None:
        self.store.setValue("folder", str(path))

    @property
    def ask_at_start(self) -> bool:
        """Whether a start without a file asks what machine it is for."""
        return str(self.store.value("ask at start", "true")).lower() == "true"

    @ask_at_start.setter
    def ask_at_start(self, on: bool) -> None:
        self.store.setValue("ask at start", "true" if on else "false")

    @property
    def recovery(self) -> Path:
        """Where a copy of unsaved work goes when something fails."""
        from PySide6.QtCore import QStandardPaths

        chosen = self.store.value("recovery")
        if chosen:
            return Path(str(chosen))
        root = QStandardPaths.writableLocation(QStandardPaths.StandardLocation.AppDataLocation)
        return Path(root or Path.home()) / "recovered.toml"

    @property
    def kept(self) -> Path:
        """Folder where unsaved work is kept while it is open."""
        from app.document.rescue import rescue_folder

        chosen = self.store.value("kept")
        return Path(str(chosen)) if chosen else rescue_folder()
