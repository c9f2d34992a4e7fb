"""The papers by name."""

from collections.abc import Callable

from ringland.report.paper.blocks import Paper
from ringland.report.paper.build import build_sheet
from ringland.report.paper.guide import guide
from ringland.report.paper.jobfile import JobFile
from ringland.report.paper.labels import bag_labels
from ringland.report.paper.order import order_sheet
from ringland.report.paper.owner import owners_page
from ringland.report.paper.strip import strip_list

PAPERS: dict[str, Callable[[JobFile], Paper]] = {
    "build": build_sheet,
    "owner": owners_page,
    "strip": strip_list,
    "labels": bag_labels,
    "guide": guide,
    "order": order_sheet,
}
WITHOUT_A_JOB = ("strip", "guide")
