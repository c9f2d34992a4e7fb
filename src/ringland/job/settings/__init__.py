"""Every figure that the build is set to, computed for this engine, wrench, gasket and piston.

Here: the table, put together in the order of the build; one module for each subject. Not here: the
formulas (`ringland.engine`, `ringland.fasten`, `ringland.fluids`), wording for a page. What cannot
be given names what is missing; a computed figure stands beside the maker's and never outranks it.
Start with `settings`.
"""

from ringland.job.case import Case
from ringland.job.settings.fluids import fluids
from ringland.job.settings.limits import limits
from ringland.job.settings.pistons import pistons
from ringland.job.settings.ports import ports
from ringland.job.settings.preload import preloads
from ringland.job.settings.setting import Setting
from ringland.job.settings.squish import gaskets
from ringland.job.settings.torques import torques
from ringland.job.settings.wrenches import (
    Snug,
    offset_of,
    setting_words,
    stage_settings,
    torque_of,
    wrenches,
)

__all__ = [
    "Setting",
    "Snug",
    "offset_of",
    "setting_words",
    "settings",
    "stage_settings",
    "torque_of",
    "wrenches",
]


def settings(case: Case, *, explain: bool = False) -> list[Setting]:
    """Return all settings of a job, in the order of the build.

    explain : also what explains and sets nothing: clamp forces, fits when hot
    """
    found = [
        *limits(case, explain=explain),
        *pistons(case),
        *gaskets(case),
        *ports(case),
        *torques(case),
    ]
    if explain:
        found += preloads(case)
    return [*found, *fluids(case)]
