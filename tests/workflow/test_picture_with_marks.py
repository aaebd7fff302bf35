"""The picture with marks that goes to an archive is drawn as the printed record is."""

import io
import subprocess

import numpy as np
import pydicom
import pytest
from drawn_tooth import DrawnRoot, DrawnTooth
from made_films import dataset, file_bytes
from PIL import Image, ImageColor

from radmeasure.model import edits
from radmeasure.model.case import Chart
from radmeasure.model.landmarks import ROOT_LINES
from radmeasure.reports.film_marks import film_marks
from radmeasure.reports.level_chart import View
from radmeasure.reports.palette import PENS, colour
from radmeasure.workflow import report
from radmeasure.workflow.session import Session


@pytest.fixture(params=[(0, False), (1, True)], ids=["as stored", "turned and mirrored"])
def charts(request, tmp_path):
    """A tooth charted on an even grey film."""
    film = file_bytes(dataset(np.full((1800, 1600), 1500, np.uint16), 12))
    landmarks = DrawnTooth(roots={"single": DrawnRoot()}).landmarks()
    with Session.create(tmp_path / "c.radcase") as session:
        entry = session.add_film(film, "f.dcm")
        chart = Chart(landmarks)
        session.apply(edits.StartFrom(session.case.with_chart(entry.film_id, "11", chart)))
        session.apply(edits.SetOrientation(entry.film_id, *request.param))
        yield report.evaluated_charts(session)


def test_every_landmark_is_marked_where_it_lies(charts):
    """Within a mark's reach of each point there is the pen's colour, and the film is there."""
    chart = charts[0]
    picture = report.film_with_marks(chart).astype(int)
    view = View(chart.entry.turns, chart.entry.mirrored)
    canvas = (report._CAPTURE, report._CAPTURE)
    _, sheet = film_marks(chart.landmarks, (1600, 1800), canvas, report._CAPTURE_FONT, view)
    ink = np.array(ImageColor.getrgb(colour(PENS["mark"].stroke, "paper")))
    points = [v for _, name, v in chart.landmarks.placed() if name not in ROOT_LINES]
    assert points
    for point in points:
        x, y = (round(report._CAPTURE_PX * v) for v in sheet.at(point))
        reach = round(report._CAPTURE_PX * 2 * report._CAPTURE_FONT)
        near = picture[max(y - reach, 0) : y + reach, max(x - reach, 0) : x + reach]
        assert (abs(near - ink).sum(axis=2) < 60).any()
    grey = int(chart.film.default_table[1500])
    edges = (sheet.left, sheet.right, sheet.top, sheet.top + sheet.height)
    left, right, top, bottom = (round(report._CAPTURE_PX * v) for v in edges)
    inside = picture[top + 2 : bottom - 2, left + 2 : right - 2]
    assert (inside == grey).all(axis=2).mean() > 0.8


def test_an_archive_gets_the_same_picture(charts, tmp_path):
    """dcmtk reads from the secondary capture what was drawn, one object a tooth."""
    paths = report.write_dicom(tmp_path / "out", charts, picture=True)
    (capture,) = [p for p in paths if "capture-11" in p.name]
    assert pydicom.dcmread(capture).SamplesPerPixel == 3
    done = subprocess.run(["dcmj2pnm", "+on", str(capture)], capture_output=True, check=True)
    assert np.array_equal(
        np.asarray(Image.open(io.BytesIO(done.stdout))), report.film_with_marks(charts[0])
    )
