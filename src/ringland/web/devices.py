"""Pairing on a local network: one-time codes, devices with a session each, taking one away again.

A code has eight digits, holds for two minutes and five tries, and serves once. A session is a
random token; only its hash is kept. Sessions end after thirty days without use, or ninety in all.
"""

import hashlib
import json
import os
import secrets
from collections.abc import Callable
from dataclasses import asdict, dataclass, field
from datetime import datetime, timedelta
from pathlib import Path

CODE_DIGITS, CODE_LIFE, CODE_TRIES = 8, timedelta(minutes=2), 5
IDLE, ABSOLUTE = timedelta(days=30), timedelta(days=90)
SEEN_EVERY = timedelta(hours=1)  # how often the time of last use is written down


@dataclass(slots=True)
class Device:
    """A paired device: hash of its token, who uses it, since when, last seen (ISO 8601)."""

    hash: str
    name: str
    since: str
    seen: str


@dataclass(slots=True)
class Devices:
    """The paired devices of a server and the code that is open now.

    file : where they are kept; secure : whether the server speaks https
    """

    file: Path
    secure: bool
    now: Callable[[], str]
    _devices: dict[str, Device] = field(default_factory=dict)
    _code: str = ""
    _until: datetime | None = None
    _tries: int = 0

    def __post_init__(self) -> None:
        if self.file.exists():
            found = json.loads(self.file.read_text(encoding="utf-8"))
            self._devices = {each["hash"]: Device(**each) for each in found}

    @property
    def cookie(self) -> str:
        """The cookie's name: bound to this host where the connection allows it."""
        return "__Host-ringland" if self.secure else "ringland-device"

    def new_code(self) -> str:
        """Open a new pairing code; the one before it no longer serves."""
        self._code = f"{secrets.randbelow(10**CODE_DIGITS):0{CODE_DIGITS}d}"
        self._until = datetime.fromisoformat(self.now()) + CODE_LIFE
        self._tries = CODE_TRIES
        return self._code

    def pair(self, code: str, name: str) -> str:
        """Return a session's token for a right code. Raises ValueError that says why not."""
        digits = "".join(c for c in code if c.isdigit())
        if not self._code or self._until is None:
            raise ValueError("no code is open: ask for a new one at the machine that serves")
        if datetime.fromisoformat(self.now()) > self._until or self._tries <= 0:
            self._code = ""
            raise ValueError("that code is over: ask for a new one at the machine that serves")
        self._tries -= 1
        if not secrets.compare_digest(digits, self._code):
            raise ValueError("that is not the code: read it again, it has eight digits")
        self._code = ""
        token = secrets.token_urlsafe(32)
        device = Device(_hash(token), name, self.now(), self.now())
        self._devices[device.hash] = device
        self._write()
        return token

    def known(self, token: str) -> Device | None:
        """Return the device of a token, and note that it was seen."""
        device = self._devices.get(_hash(token)) if token else None
        if device is None:
            return None
        now = datetime.fromisoformat(self.now())
        seen, since = (datetime.fromisoformat(text) for text in (device.seen, device.since))
        if now - seen > IDLE or now - since > ABSOLUTE:
            self.remove(device.hash)
            return None
        if now - seen > SEEN_EVERY:
            device.seen = self.now()
            self._write()
        return device

    def rename(self, device: Device, name: str) -> None:
        """Another person uses this device from now on."""
        device.name = name
        self._write()

    def all(self) -> list[Device]:
        """Return the paired devices, the last seen first."""
        return sorted(self._devices.values(), key=lambda each: each.seen, reverse=True)

    def remove(self, hashed: str) -> None:
        """End a device's session."""
        self._devices.pop(hashed, None)
        self._write()

    def _write(self) -> None:
        self.file.parent.mkdir(parents=True, exist_ok=True)
        text = json.dumps([asdict(each) for each in self._devices.values()], ensure_ascii=False)
        part = self.file.with_suffix(".part")
        part.touch(mode=0o600)
        part.write_text(text, encoding="utf-8")
        os.replace(part, self.file)


def _hash(token: str) -> str:
    return hashlib.sha256(token.encode()).hexdigest()
