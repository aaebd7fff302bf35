"""Grayscale softcopy presentation state: landmarks and lines over the film, window, spacing."""

import numpy as np

from radmeasure.model.landmarks import ROOT_LINES
from radmeasure.reports.dicom_source import new_uid, person_name, side_of

SERIES_NUMBER = 9101
# GSPS PIXEL graphics count from the outer corner of the first pixel.
_HALF = 0.5


def presentation_state(source, charts, author=""):
    """The presentation state of one film.

    Parameters
    ----------
    source : pydicom.Dataset
    charts : list of Charted
    author : str

    Returns
    -------
    highdicom.pr.GrayscaleSoftcopyPresentationState
    """
    import highdicom as hd

    from radmeasure import __version__

    layer = hd.pr.GraphicLayer(layer_name="LANDMARKS", order=1, description="landmarks and lines")
    annotation = hd.pr.GraphicAnnotation(
        referenced_images=[source],
        graphic_layer=layer,
        graphic_objects=[g for chart in charts for g in _graphics(chart.landmarks)],
        text_objects=[t for chart in charts for t in _labels(chart.landmarks)],
    )
    state = hd.pr.GrayscaleSoftcopyPresentationState(
        referenced_images=[source],
        series_instance_uid=new_uid(),
        series_number=SERIES_NUMBER,
        sop_instance_uid=new_uid(),
        instance_number=1,
        manufacturer="radmeasure",
        manufacturer_model_name="radmeasure",
        software_versions=__version__,
        device_serial_number="0",
        content_label="LANDMARKS",
        content_description="Periapical landmarks",
        graphic_annotations=[annotation],
        graphic_layers=[layer],
        voi_lut_transformations=[_window(source)],
        content_creator_name=person_name(author) or None,
    )
    state.Laterality = side_of(source)
    _spacing(state, charts)
    return state


def _graphics(landmarks):
    import highdicom as hd

    for root, name, value in landmarks.placed():
        words = ".".join(p for p in (landmarks.tooth.fdi, root, name) if p)
        tracking = {"tracking_id": words, "tracking_uid": new_uid()}
        if name in ROOT_LINES:
            points = np.array(value, dtype=float) + _HALF
            if name == "lesion" and not np.array_equal(points[0], points[-1]):
                points = np.vstack([points, points[:1]])
            yield hd.pr.GraphicObject("POLYLINE", points, "PIXEL", **tracking)
        else:
            point = np.array([value], dtype=float) + _HALF
            yield hd.pr.GraphicObject("POINT", point, "PIXEL", **tracking)


def _labels(landmarks):
    import highdicom as hd

    for root, name, value in landmarks.placed():
        if name in ROOT_LINES:
            continue
        many = root is not None and len(landmarks.roots) > 1
        text = name.replace("_", " ").replace("cej", "CEJ") + (f" ({root})" if many else "")
        anchor = (value[0] + _HALF, value[1] + _HALF)
        yield hd.pr.TextObject(text, "PIXEL", anchor_point=anchor)


def _window(source):
    """The film's own first window, else its whole range."""
    import highdicom as hd

    def first(name):
        value = source.get(name)
        if value is None or value == "":
            return None
        return float(
            value[0] if hasattr(value, "__len__") and not isinstance(value, str) else value
        )

    center, width = first("WindowCenter"), first("WindowWidth")
    if center is None or width is None or width < 1:
        levels = 2 ** int(source.BitsStored)
        center, width = levels / 2, float(levels)
    return hd.pr.SoftcopyVOILUTTransformation(
        window_center=center,
        window_width=width,
        referenced_images=hd.ReferencedImageSequence([source]),
    )


def _spacing(state, charts):
    """Presentation spacing of the first calibrated tooth, as one figure for both directions.

    Along and across the tooth seldom run along rows and columns, so their geometric
    mean is stated; the report holds both.
    """
    scales = [c.evaluation.scale for c in charts if c.evaluation.scale.along is not None]
    for area in state.DisplayedAreaSelectionSequence:
        if scales:
            mean = float(np.sqrt(scales[0].along.value * scales[0].across.value))
            if "PresentationPixelAspectRatio" in area:
                del area.PresentationPixelAspectRatio
            area.PresentationPixelSpacing = [f"{mean:.8g}", f"{mean:.8g}"]
