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
        rest = [p for p in self.recent if p != path]
        self.store.setValue("recent", [str(p) for p in (path, *rest)][:RECENT_MAX])

    @property
    def dark(self) -> bool:
        """Whether the dark palette is chosen."""
        return str(self.store.value("dark", "false")).lower() == "true"

    @dark.setter
    def dark(self, on: bool) -> None:
        self.store.setValue("dark", "true" if on else "false")

    def save_window(self, name: str, data: QByteArray) -> None:
        """Remember a geometry or layout."""
        self.store.setValue(f"window/{name}", data)

    def window(self, name: str) -> QByteArray | None:
        """Return a remembered geometry or layout."""
        data = self.store.value(f"window/{name}")
        return data if isinstance(data, QByteArray) else None

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
