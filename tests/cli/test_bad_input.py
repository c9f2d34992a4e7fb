"""Bad input through the commands: a clear message, the documented exit code, nothing kept.

Exit codes (ringland.cli.opening): 2 not understood or refused; 3 a question comes first; 4 the store.
"""

import sqlite3
from pathlib import Path

import pytest

from tests.stories.shop import SHEETS, Shop

REFUSED, ASKED, STORE = 2, 3, 4


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Shop:
    """Return a shop that no test here may change."""
    made = Shop(tmp_path_factory.mktemp("shop"))
    made.open("loan-3", "f-230", hours="58 h")
    return made


def content(shop: Shop) -> bytes:
    """Return the store's file: what keeps nothing does not even touch it."""
    return shop.store.read_bytes()


@pytest.mark.parametrize(
    ("command", "code", "said"),
    [
        # what nobody knows
        ("plan 7", REFUSED, "there is no job '7'"),
        ("plan loan-4", REFUSED, "there is no job 'loan-4'. Did you mean loan-3?"),
        ("job open loan-4", REFUSED, "there is no machine 'loan-4'. Did you mean loan-3?"),
        ("machine show loan-4", REFUSED, "Did you mean loan-3?"),
        ("machine hours loan-4 60", REFUSED, "Did you mean loan-3?"),
        ("due loan-4", REFUSED, "loan-4"),
        (
            "measure 1 boer H1X 65.016",
            REFUSED,
            "no check is called 'boer H1X 65.016' here. Did you",
        ),
        (
            "measure 1 bore H1X 65.016 --with BG-9",
            REFUSED,
            "On the shelf: CG-1 (compression gauge)",
        ),
        ("note 1 metl specks", REFUSED, "Did you mean metal specks?"),
        ("done 1 hed off", REFUSED, "Did you mean head off?"),
        ("renew 1 pistn", REFUSED, "Did you mean piston?"),
        ("torque 1 barel nuts ok", REFUSED, "Did you mean barrel nuts?"),
        ("job list --figure sqish", REFUSED, "Did you mean squish?"),
        ("measur 1 bore", REFUSED, "There is no command 'measur' here. Did you mean measure?"),
        ("job opn loan-3", REFUSED, "opn"),
        # files
        ("machine add m --sheet SHEETS/f-231.yaml", REFUSED, "f-231.yaml: there is no such file"),
        ("machine add m --sheet SHEETS", REFUSED, "sheets"),
        ("parts --sheet SHEETS/f-231.yaml", REFUSED, "Sheets there: f-"),
        ("at 1 --from SHEETS/none.lines", REFUSED, "none.lines: cannot be read"),
        ("job import SHEETS/f-230.yaml", REFUSED, "line 1: not readable as JSON"),
        ("photo 1 SHEETS/none.jpg --of plug-out", REFUSED, "does not exist"),
        # units and numbers
        ("measure 1 bore H1X 65.016 bar", REFUSED, "pressure"),
        ("measure 1 gap bottom 21 N·m", REFUSED, "torque"),
        ("measure 1 gap bottom .31 furlong", REFUSED, "furlong"),
        ("measure 1 bore H1X", REFUSED, "nothing to keep"),
        ("measure 1 gap bottom 0 mm", ASKED, "a blank is not zero"),
        ("measure 1 gap bottom .014", ASKED, "Did you mean 0.014 in"),
        ("measure 1 comp 170 bar", ASKED, "Did you mean 170 psi"),
        ("torque 1 base nuts set 30", ASKED, "30 N·m (22.1 lbf·ft) or 30 lbf·ft (40.7 N·m)?"),
        ("machine add m --hours soon", REFUSED, "hours"),
        ("machine add m --baseline 12.4", REFUSED, "baseline"),
        ("machine add m --part-hours piston", REFUSED, "as in piston=41.6 h"),
        ("machine add m --part-hours piston=soon", REFUSED, "hours of the piston"),
        (
            "machine add m --sheet SHEETS/f-230.yaml --part-hours pistn=20h",
            REFUSED,
            "Did you mean piston",
        ),
        ("machine hours loan-3 57", REFUSED, "hours do not go back"),
        ("machine hours loan-3 soon", REFUSED, "hours"),
        ("gauge add X feler", REFUSED, "is no kind of gauge here. Did you mean feeler?"),
        ("gauge add X feeler --leaves tight", REFUSED, "leaf"),
        ("gauge add X micrometer --step 5", REFUSED, "micrometer"),
        ("gauge add W torque-wrench", REFUSED, "Did you mean torque wrench?"),
        # what is not allowed now
        ("done 1 head off", REFUSED, "head off waits for plug out"),
        ("done 1 all accounted for", REFUSED, "is a hold point"),
        ("sign 1 all tight because of haste", REFUSED, "can never be signed away"),
        ("hand-over 1", REFUSED, "things forbid the first start"),
        ("job open loan-3 --scope whole", REFUSED, "scope 'whole' is none of ring, piston"),
        ("parts", REFUSED, "name a job, or a sheet with --sheet FILE"),
        ("undo 1 --by Eve", REFUSED, "nothing of Eve to take back"),
    ],
)
def test_a_command_that_cannot_be_done_says_why_and_keeps_nothing(
    shop: Shop, command: str, code: int, said: str
) -> None:
    before = content(shop)
    words = command.replace("SHEETS", str(SHEETS)).split()
    assert shop.run(*words) == (code, Holding(said))
    assert content(shop) == before


class Holding(str):
    """Equal to any text that holds it."""

    __slots__ = ()

    def __eq__(self, other: object) -> bool:
        return isinstance(other, str) and str(self) in other

    def __hash__(self) -> int:
        return super().__hash__()


def wrench(low: str, high: str, step: str, length: str = "300 mm") -> list[str]:
    return ["--from", low, "--to", high, "--step", step, "--length", length]


@pytest.mark.parametrize(
    ("options", "said"),
    [
        ([], "say its scale"),
        (wrench("10 N·m", "60 lbf·ft", "1 N·m"), "write it in one unit"),
        (wrench("60 N·m", "10 N·m", "1 N·m"), "runs"),
        (wrench("10 N·m", "60 N·m", "0 N·m"), "above 0"),
        (wrench("10 N·m", "60 N·m", "1 N·m", "long"), "length long"),
        (wrench("10 mm", "60 mm", "1 mm"), "length"),
    ],
)
def test_a_wrench_that_no_setting_could_be_told_for_is_refused(
    shop: Shop, options: list[str], said: str
) -> None:
    before = content(shop)
    assert shop.run("gauge", "add", "TW-7", "torque wrench", *options) == (REFUSED, Holding(said))
    assert content(shop) == before


# -- sheets that are damaged -------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("engine: X\nextends: two-stroke-single\nfigures:\n\tbore: 53 mm\n", "engine.yaml:4:1"),
        ("engine: &a X\nyears: *a\n", "engine.yaml:1:9"),
        ("engine: !!python/object X\n", "engine.yaml:1:9"),
        ("engine: X\nengine: Y\n", "engine.yaml:2:1"),
        ("engine: X\nextends: two-stroke-singel\n", "Did you mean two-stroke-single?"),
        ("engine: X\nextends: two-stroke-single\nfigures:\n  boer: 53 mm\n", "Did you mean bore?"),
        ("engine: X\nextends: two-stroke-single\nfigures:\n  bore: 53 bar\n", "engine.yaml:4:12"),
        ("[" * 200, "engine.yaml:1"),
        ("engine: " + "x" * 11_000_000, "larger than"),
    ],
    ids=["tab", "anchor", "tag", "twice", "extends", "figure", "unit", "deep", "large"],
)
def test_no_job_is_opened_from_a_damaged_sheet(
    shop: Shop, tmp_path: Path, text: str, said: str
) -> None:
    path = tmp_path / "engine.yaml"
    path.write_text(text, encoding="utf-8")
    before = content(shop)
    found = shop.run("job", "open", "loan-3", "--sheet", str(path))
    assert found == (REFUSED, Holding(said))
    assert "Traceback" not in found[1]
    assert content(shop) == before


# -- files of lines ----------------------------------------------------------------------------


def test_a_file_of_lines_keeps_the_good_ones_and_names_the_place_of_the_others(
    tmp_path: Path,
) -> None:
    shop = Shop(tmp_path)
    shop.open("loan-3", "f-230")
    file = tmp_path / "evening.lines"
    file.write_text("specks\n\n# typed late\ngap bottom .014\nfrobnicate\nchewed screw\n")
    code, output = shop.run("at", "1", "--from", str(file))
    assert code == REFUSED
    assert f"{file}:4: 0.014 mm for ring end gap" in output
    assert f"{file}:5: 'frobnicate' is not understood" in output
    assert output.rstrip().endswith("2 of the lines were not kept")
    assert {e["body"]["finding"] for e in shop.kept("1") if e.get("kind") == "finding-noted/1"} == {
        "metal specks", "chewed screw",
    }  # fmt: skip


def test_a_file_that_is_no_text_is_refused(shop: Shop, tmp_path: Path) -> None:
    file = tmp_path / "photo.lines"
    file.write_bytes(bytes(range(256)))
    assert shop.run("at", "1", "--from", str(file)) == (REFUSED, Holding("cannot be read"))


# -- stores that cannot be used ----------------------------------------------------------------


def shop_at(path: Path) -> Shop:
    shop = Shop(path.parent, shelf=False)
    shop.store = path
    return shop


def test_looking_makes_no_store_where_there_is_none(tmp_path: Path) -> None:
    path = tmp_path / "nowhere.ringland"
    assert shop_at(path).run("plan", "1") == (STORE, Holding("there is no store here"))
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize(
    "command", ["plan 1", "gauge add FG-1 feeler", "measure 1 bore H1X 65.016"]
)
def test_a_store_of_a_newer_version_is_left_as_it_is(tmp_path: Path, command: str) -> None:
    shop = Shop(tmp_path)
    shop.open("loan-3", "f-230")
    db = sqlite3.connect(shop.store)
    db.execute("PRAGMA user_version = 99")
    db.close()
    before = shop.store.read_bytes()
    code, output = shop.run(*command.split())
    assert code == STORE
    assert "this store has form 99, from a newer Ringland" in output
    assert "Update Ringland" in output
    assert shop.store.read_bytes() == before


@pytest.mark.parametrize("content", [b"", b"hello, this is a letter\n" * 50])
def test_a_file_that_is_no_store_is_left_alone(tmp_path: Path, content: bytes) -> None:
    path = tmp_path / "letter.ringland"
    path.write_bytes(content)
    code, output = shop_at(path).run("gauge", "add", "FG-1", "feeler")
    assert code == STORE
    assert "letter.ringland" in output
    assert path.read_bytes() == content


def test_a_damaged_store_is_named_and_not_mistaken(tmp_path: Path) -> None:
    shop = Shop(tmp_path)
    shop.open("loan-3", "f-230")
    shop("note", "1", "specks")
    whole = shop.store.read_bytes()
    assert whole.count(b"metal specks") >= 1
    at = whole.rindex(b'{"finding":"metal specks"')
    shop.store.write_bytes(whole[:at] + whole[at:].replace(b"metal specks", b"metal spacks", 1))
    code, output = shop.run("plan", "1")
    assert code == STORE
    assert "no longer what was written" in output
