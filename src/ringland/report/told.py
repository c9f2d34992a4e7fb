"""What a pressure reading tells beyond its verdict, and what it cannot tell.

Asked for one reading at a time, since the model behind it takes some tenths of a second.
"""

from ringland.job.case import Case
from ringland.job.log.fold import Reading
from ringland.job.readings import cranking, leaks


def told(case: Case, key: Reading) -> tuple[str, ...]:
    """Return sentences about the last reading of a check; none for a check of another kind."""
    check = case.book.sheet.checks[key[0]]
    readings = case.state.readings.get(key)
    if not readings:
        return ()
    fact = readings[-1].fact
    if check.method == "fall":
        return leaks.what_it_tells(case.book, case.state, check, fact)
    if check.method == "percent of baseline":
        cannot = (check.cannot_tell,) if check.cannot_tell else ()
        return (*cranking.what_it_tells(case.book, case.state, fact), *cannot)
    return ()
