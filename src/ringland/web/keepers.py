"""Acts that carry a file: a photo of a step or part, the leaflet of a new part."""

from collections.abc import Mapping

from ringland.bench.bench import Bench, Outcome
from ringland.bench.names import must_find
from ringland.bench.refusal import Refused
from ringland.job.log.entries import PartRenewed, PhotoTaken
from ringland.sheet.load import load_leaflet
from ringland.sheet.text import MOST_BYTES, BadSheet
from ringland.web.acts import Act, Keeper
from ringland.web.photos import clean_photo

SIDES = ("", "EX", "IN", "IGN", "CL")


def of(act: Act, files: Mapping[str, bytes]) -> Keeper | None:
    """Return what keeps an act with a file, or None for an act that is a line."""
    if act.verb == "photo":
        return _photo(act, files.get("photo", b""))
    if act.verb == "renew" and "leaflet" in files:
        return _leaflet(act, files["leaflet"])
    return None


def _photo(act: Act, content: bytes) -> Keeper:
    def keep(bench: Bench, job: str) -> Outcome:
        side = act.fields.get("side", "")
        if side not in SIDES:
            raise Refused(f"{side!r} is no side of the engine: EX, IN, IGN or CL")
        sheet = bench.case(job).book.sheet
        name = act.fields.get("name", "")
        steps = bench.case(job).steps
        subject = name if name in steps else must_find(sheet, name.split(), "step", "part").name
        kept = bench.log.put_photo(clean_photo(content))
        return bench.keep(job, [PhotoTaken(kept, subject, side, act.fields.get("remark", ""))])

    return keep


def _leaflet(act: Act, content: bytes) -> Keeper:
    def keep(bench: Bench, job: str) -> Outcome:
        if len(content) > MOST_BYTES:
            raise Refused(f"the leaflet is larger than {MOST_BYTES:,} bytes")
        sheet = bench.case(job).book.sheet
        part = must_find(sheet, act.fields.get("name", "").split(), "part").name
        try:
            text = content.decode("utf-8-sig")
            tree = load_leaflet(text, "leaflet", sheet)[0]
        except UnicodeDecodeError:
            raise Refused("the leaflet is not readable as text: save it as UTF-8") from None
        except BadSheet as error:
            raise Refused(*map(str, error.problems)) from None
        count = act.fields.get("count", "")
        number = int(count) if count.isdecimal() and len(count) < 4 else sheet.parts[part].count
        said = act.fields
        fact = PartRenewed(part, number, said.get("label", ""), said.get("batch", ""), tree)
        return bench.keep(job, [fact])

    return keep
