"""One whole job, played once for all tests of paper."""

from pathlib import Path

import pytest
from pypdf import PdfReader

from ringland.report.paper.build import build_sheet
from ringland.report.paper.jobfile import JobFile
from tests.report.shed import Shed, read, shed


@pytest.fixture(scope="session")
def whole(tmp_path_factory: pytest.TempPathFactory) -> Shed:
    return shed(Path(tmp_path_factory.mktemp("shed")))


@pytest.fixture(scope="session")
def file(whole: Shed) -> JobFile:
    return whole.file()


@pytest.fixture(scope="session")
def sheet(file: JobFile) -> PdfReader:
    return read(build_sheet(file))
