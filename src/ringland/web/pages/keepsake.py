"""Which pages of a job are worth keeping on a device for when the server is away."""

from ringland.job.case import Case
from ringland.report.view import plan_view
from ringland.web.pages.look import line_url
from ringland.web.templating import url

MOST = 60
LISTS = ("board", "plan", "findings", "parts", "settings", "prestart", "causes", "log")


def worth_keeping(case: Case, job: str) -> list[str]:
    """Return the addresses: the lists, what is ready, what comes next, the groups to tighten.

    Of a check in two conditions both pages are kept, since each is one address.
    """
    lines = plan_view(case)
    left = [line for line in lines if line.state != "done"]
    ready = [line for line in left if line.state == "ready"]
    soon = [line for line in left if line.state != "ready" and line.kind in ("step", "reading")]
    groups = [url("job", job, "tighten", name) for name in case.groups()]
    found = [url("job", job), *(url("job", job, name) for name in LISTS)]
    found += [line_url(case, job, line) for line in ready]
    found += groups
    found += [line_url(case, job, line) for line in soon]
    return list(dict.fromkeys(found))[:MOST]
