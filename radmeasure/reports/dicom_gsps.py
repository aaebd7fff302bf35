"""Grayscale softcopy presentation state: landmarks and lines over the film, window, spacing."""

import pkgutil

import numpy as np

from radmeasure.files.dicom_display import Window
from radmeasure.model.landmarks import ROOT_LINES
from radmeasure.reports.dicom_source import frame_of, new_uid, person_name, side_of

SERIES_NUMBER = 9101
# Colours of pictures that state none are taken as those of ordinary screens.
_SRGB = "_icc_profiles/sRGB_v4_ICC_preference.icc"
# GSPS PIXEL graphics count from the outer corner of the first pixel.
_HALF = 0.5


def presentation_state(source, charts, display, author=""):
    """The presentation state of one film: drawn as the program draws it on opening.

    Parameters
    ----------
    source : pydicom.Dataset
    charts : list of Charted
    display : Display or None
        The steps of drawing; None for a colour film, whose state has none.
    author : str

    Returns
    -------
    highdicom.pr.GrayscaleSoftcopyPresentationState or ColorSoftcopyPresentationState
    """
    import highdicom as hd

    from radmeasure import __version__

    layer = hd.pr.GraphicLayer(layer_name="LANDMARKS", order=1, description="landmarks and lines")
    annotation = hd.pr.GraphicAnnotation(
        referenced_images=[source],
        graphic_layer=layer,
        referenced_frame_number=frame_of(source),
        graphic_objects=[g for chart in charts for g in _graphics(chart.landmarks)],
        text_objects=[t for chart in charts for t in _labels(chart.landmarks)],
    )
    common = {
        "referenced_images": [source],
        "series_instance_uid": new_uid(),
        "series_number": SERIES_NUMBER,
        "sop_instance_uid": new_uid(),
        "instance_number": 1,
        "manufacturer": "radmeasure",
        "manufacturer_model_name": "radmeasure",
        "software_versions": __version__,
        "device_serial_number": "0",
        "content_label": "LANDMARKS",
        "content_description": "Periapical landmarks",
        "graphic_annotations": [annotation],
        "graphic_layers": [layer],
        "content_creator_name": person_name(author) or None,
    }
    if display is None:
        profile = source.get("ICCProfile") or pkgutil.get_data("highdicom", _SRGB)
        state = hd.pr.ColorSoftcopyPresentationState(**common, icc_profile=profile)
    else:
        shape = "INVERSE" if display.inverse else "IDENTITY"
        state = hd.pr.GrayscaleSoftcopyPresentationState(
            **common,
            modality_lut_transformation=_modality(display.modality),
            voi_lut_transformations=[_voi(display, source)],
            presentation_lut_transformation=hd.PresentationLUTTransformation(shape),
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


def _modality(modality):
    """The film's modality step; stated always, since a state stands for the film's own."""
    import highdicom as hd

    if isinstance(modality, tuple):
        slope, intercept = modality
        return hd.ModalityLUTTransformation(intercept, slope, "US")
    table = _starting(hd.ModalityLUT("US", 0, _entries(modality)), modality.first)
    return hd.ModalityLUTTransformation(modality_lut=table)


def _voi(display, source):
    """The film's window or display table; a curved window as a table, which all viewers know."""
    import highdicom as hd

    voi, images = display.voi, hd.ReferencedImageSequence([source])
    if isinstance(voi, Window) and voi.function == "LINEAR":
        return hd.pr.SoftcopyVOILUTTransformation(
            window_center=voi.centre, window_width=voi.width, referenced_images=images
        )
    first, entries = (None, None) if isinstance(voi, Window) else (voi.first, _entries(voi))
    if entries is None:
        first = int(np.floor(display.span[0]))
        values = np.arange(first, min(int(np.ceil(display.span[1])), first + 65535) + 1)
        entries = np.round(voi.share(values) * 65535).astype(np.uint16)
    table = _starting(hd.VOILUT(0, entries), first)
    return hd.pr.SoftcopyVOILUTTransformation(voi_luts=[table], referenced_images=images)


def _entries(lut):
    """Entries of a table spread over 16 bits, the depth of the type they are handed over in."""
    return np.round(lut.entries * (65535 / lut.top)).astype(np.uint16)


def _starting(table, first):
    """The table with another first value; highdicom takes none below zero."""
    count = len(table.lut_data)
    if first >= 0:
        table.add_new("LUTDescriptor", "US", [count % 65536, first, 16])
    else:  # the count is unsigned whatever stands for it (PS3.3 C.11.1.1.1)
        table.add_new("LUTDescriptor", "SS", [count - 65536 * (count > 32767), first, 16])
    return table


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
