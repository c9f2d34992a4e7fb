"""When something was done, as people say it."""

from datetime import datetime, timedelta

from ringland.bench.refusal import Refused
from ringland.quantity import parse_quantity


def instant(text: str, before: str) -> str:
    """Read "14:10", "2026-05-02 14:10", "+26 min" or "now" (which is empty)."""
    base = datetime.fromisoformat(before)
    if text in ("now", ""):
        return ""
    try:
        if text.startswith("+"):
            later = parse_quantity(text[1:], "time", default="min")
            return (base + timedelta(seconds=later.si)).isoformat(timespec="seconds")
        if len(text) <= 5:
            hour, minute = map(int, text.split(":"))
            return base.replace(hour=hour, minute=minute, second=0).isoformat(timespec="seconds")
        found = datetime.fromisoformat(text)
    except ValueError:
        raise Refused(
            f"{text!r} is no time: write 14:10, 2026-05-02 14:10, +26 min or now"
        ) from None
    return (found if found.tzinfo else found.replace(tzinfo=base.tzinfo)).isoformat(
        timespec="seconds"
    )
