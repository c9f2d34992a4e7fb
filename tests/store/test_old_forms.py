"""A store of any released form is read for ever: one file of each is kept beside this test.

form-1.ringland.gz was written by the first version with this form, and is never written again.
"""

import gzip
from contextlib import closing
from hashlib import sha256
from pathlib import Path

from ringland.store import Line, open_store

KEPT = Path(__file__).parent
LINES = [
    Line(
        id="5f0c1e",
        act="a1",
        kind="reading-taken/1",
        at="2026-05-02T10:00:00+02:00",
        by="Ada",
        body={"check": "ring end gap", "typed": "0,35 mm", "leaf": [0.35, None, True], "µ": {}},
    ),
    Line("77ab02", "a2", "note/1", "2026-05-02T10:01:30.250+02:00", "Bea", {}),
]


def test_form_1_is_read_to_the_last_sign(tmp_path: Path) -> None:
    path = tmp_path / "form-1.ringland"
    path.write_bytes(gzip.decompress((KEPT / "form-1.ringland.gz").read_bytes()))
    with closing(open_store(path, create=False)) as log:
        assert log.check() == []
        assert log.streams() == ["job/1", "shelf"]
        assert log.read("job/1") == list(enumerate(LINES, start=1))
        assert log.photo(sha256(b"a photo").hexdigest()) == b"a photo"
        assert log.append("job/1", LINES) == 2
