"""What all requests share: the open store, the clock, the caches of the bench, one lock.

One process serves, so one lock is enough; other programs may write to the same store at any time.
"""

import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from pathlib import Path

from ringland.bench.bench import Bench
from ringland.store import Log


@dataclass(slots=True)
class Shed:
    """The open bench of a server.

    folder : where the server keeps sheets, devices and certificates beside the store
    person : who works at the machine that serves, where nobody said another name
    """

    log: Log
    now: Callable[[], str]
    new_id: Callable[[], str]
    person: str
    folder: Path
    lock: threading.RLock = field(default_factory=threading.RLock)
    _bench: Bench | None = None

    @contextmanager
    def bench(self, by: str, *, act: str = "", at: str = "") -> Iterator[Bench]:
        """Lend the bench to one person for one request.

        act : id of the act made on the device; entries kept in it derive their ids from it
        at : when the device took it, ISO 8601 with offset; empty for now
        """
        with self.lock:
            if self._bench is None:
                self._bench = Bench(self.log, by, self.now, self.new_id)
            ids = _ids(act) if act else None
            yield replace(
                self._bench,
                by=by,
                now=(lambda: at) if at else self.now,
                new_id=(lambda: next(ids)) if ids else self.new_id,
            )


def _ids(act: str) -> Iterator[str]:
    """The act's own id, then one for each of its entries, always the same."""
    yield act
    number = 0
    while True:
        number += 1
        yield f"{act}.{number}"
