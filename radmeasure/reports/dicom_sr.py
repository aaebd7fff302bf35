"""Comprehensive SR (TID 1500): one group per tooth and root, landmarks as regions.

Every reading is a NUM with its unit, the upper and lower half of its 95 % interval in
that unit, a tracking identifier and its side or depth. Landmarks are SCOORD points and
polylines (single precision by the standard, counted from the outer corner of the first
pixel); so that a case can be rebuilt to the last digit, the exact record stands beside
them as text.
"""

import json
from dataclasses import dataclass, field

import numpy as np

from radmeasure.files.sr_record import RECORD_FORMAT, record_digest, record_text
from radmeasure.files.tooth_codes import code_of_tooth
from radmeasure.model import case_json, landmarks_json
from radmeasure.model.case import PlanChoice
from radmeasure.model.landmarks import ROOT_LINES, Detector, KnownLength, Landmarks
from radmeasure.reports.dicom_codes import (
    LANDMARKS,
    OTHERS,
    READINGS,
    ROOTS,
    SIDES,
    own,
    scheme_item,
    unit,
)
from radmeasure.reports.dicom_source import frame_of, new_uid, person_name

# A film's pixel (0, 0) has its centre at (0.5, 0.5) in SCOORD.
HALF = 0.5
SERIES_NUMBER = 9100


@dataclass(frozen=True, eq=False)
class Charted:
    """One tooth on the film: what was placed, what follows from it, what was decided.

    ``accepted`` are landmarks that stand as suggested, with their confidence; ``recall``
    the date of the next recall, '' for none.
    """

    landmarks: Landmarks
    evaluation: object
    worksheet: dict = field(default_factory=dict)
    plan: PlanChoice = field(default_factory=PlanChoice)
    accepted: dict = field(default_factory=dict)
    recall: str = ""


def measurement_report(source, charts, rulebook, film, author="", about=None, signed_for=""):
    """The SR of one film.

    Parameters
    ----------
    source : pydicom.Dataset
        The film the report refers to.
    charts : list of Charted
        One per tooth charted on the film.
    rulebook : Rulebook
    film : Film
    author : str
        Observer's name as entered; the report stays UNVERIFIED unless it is signed.
    about : mapping, optional
        What the case says of the film beside its charts; see :func:`exact_record`.
    signed_for : str
        Organisation for which the author signs; '' leaves the report unsigned.

    Returns
    -------
    highdicom.sr.ComprehensiveSR
    """
    from highdicom.sr import ComprehensiveSR, MeasurementReport
    from pydicom.sr.codedict import codes

    groups = []
    for chart in charts:
        groups += tooth_groups(source, chart.evaluation)
    library = _library_ready(source)
    content = MeasurementReport(
        observation_context=_observer(author),
        procedure_reported=_concept("22891007", "SCT", "Radiography of teeth"),
        imaging_measurements=groups,
        title=codes.DCM.ImagingMeasurementReport,
        referenced_images=[library] if library is not None else None,
    )
    report = ComprehensiveSR(
        evidence=[source],
        content=content,
        series_instance_uid=new_uid(),
        series_number=SERIES_NUMBER,
        sop_instance_uid=new_uid(),
        instance_number=1,
        manufacturer="radmeasure",
        is_complete=True,
        is_final=bool(signed_for),
        is_verified=bool(signed_for),
        verifying_observer_name=person_name(author) if signed_for else None,
        verifying_organization=signed_for or None,
    )
    from pydicom.sequence import Sequence

    report.CodingSchemeIdentificationSequence = Sequence([scheme_item()])
    report.SeriesDescription = "Periapical measurements"
    _append_texts(report, charts, rulebook, exact_record(charts, film, about))
    _library_spacing(report, charts)
    return report


def _concept(value, scheme, meaning):
    from highdicom.sr import CodedConcept

    return CodedConcept(value, scheme, meaning)


def _observer(author):
    from highdicom.sr import (
        DeviceObserverIdentifyingAttributes,
        ObservationContext,
        ObserverContext,
        PersonObserverIdentifyingAttributes,
    )
    from pydicom.sr.codedict import codes

    from radmeasure import __version__

    device = ObserverContext(
        codes.DCM.Device,
        DeviceObserverIdentifyingAttributes(
            uid=new_uid(),
            name="radmeasure",
            manufacturer_name="radmeasure",
            model_name=f"radmeasure {__version__}",
        ),
    )
    person = None
    if author:
        who = PersonObserverIdentifyingAttributes(name=person_name(author))
        person = ObserverContext(codes.DCM.Person, who)
    return ObservationContext(observer_person_context=person, observer_device_context=device)


def _library_ready(source):
    """The source when highdicom's image library can describe it, else None."""
    wanted = ("PatientOrientation", "ImagerPixelSpacing", "Modality")
    return source if all(source.get(name) for name in wanted) else None


# -- groups -----------------------------------------------------------------------------------


def tooth_groups(source, evaluation):
    """Groups of one tooth: per root its readings, then one region per landmark."""
    from highdicom.sr import (
        MeasurementsAndQualitativeEvaluations,
        QualitativeEvaluation,
        SourceImageForMeasurementGroup,
        TrackingIdentifier,
    )

    tooth = evaluation.landmarks.tooth
    image = SourceImageForMeasurementGroup.from_source_image(source, _frames(source))
    groups = []
    for root in evaluation.landmarks.roots:
        readings = [r for r in evaluation.readings if r.root == root and r.quantity is not None]
        if not readings:
            continue
        groups.append(
            MeasurementsAndQualitativeEvaluations(
                tracking_identifier=TrackingIdentifier(
                    uid=new_uid(), identifier=f"tooth {tooth.fdi} {root}"
                ),
                finding_type=_concept("38199008", "SCT", "Tooth"),
                finding_sites=[_site(tooth)],
                measurements=[_measurement(tooth, r) for r in readings],
                qualitative_evaluations=[
                    QualitativeEvaluation(own(OTHERS, "root"), own(ROOTS, root)),
                    QualitativeEvaluation(own(OTHERS, "scale_basis"), _basis(evaluation)),
                ],
                source_images=[image],
            )
        )
    groups += [_region(source, tooth, *placed) for placed in evaluation.landmarks.placed()]
    return groups


def _frames(source):
    frame = frame_of(source)
    return None if frame is None else [frame]


def _site(tooth):
    from highdicom.sr import FindingSite
    from pydicom.sr.codedict import codes

    code = code_of_tooth(tooth.fdi)
    side = codes.SCT.Right if tooth.right else codes.SCT.Left
    return FindingSite(_concept(code.value, "SCT", code.meaning), laterality=side)


def _basis(evaluation):
    entries = evaluation.landmarks.scale
    along = any(isinstance(e, KnownLength) and e.along == "tooth" for e in entries)
    across = [e for e in entries if not (isinstance(e, KnownLength) and e.along == "tooth")]
    if along:
        return own(OTHERS, "basis_both" if across else "basis_file")
    if not across:
        return own(OTHERS, "basis_none")
    pitch = all(isinstance(e, Detector) for e in across)
    return own(OTHERS, "basis_pitch" if pitch else "basis_object")


def _measurement(tooth, reading):
    from highdicom.sr import Measurement, TrackingIdentifier
    from pydicom.sr.codedict import codes

    place = [reading.root, reading.side]
    if reading.depth_mm is not None:
        place.append(f"{reading.depth_mm:g} mm")
    words = " ".join(p for p in (f"tooth {tooth.fdi}", *place, reading.id) if p)
    measurement = Measurement(
        own(READINGS, reading.id),
        reading.quantity.value,
        unit(reading.unit),
        tracking_identifier=TrackingIdentifier(uid=new_uid(), identifier=words),
        derivation=codes.SCT.Mean if reading.side == "mean" else None,
        properties=_uncertainty(reading),
    )
    extra = measurement[0].ContentSequence
    if reading.side:
        extra.append(_code_item(own(OTHERS, "side"), own(SIDES, reading.side)))
    if reading.depth_mm is not None:
        extra.append(_num_item(own(OTHERS, "depth"), reading.depth_mm, unit("mm")))
    extra.append(_text_item(own(OTHERS, "method"), reading.method))
    return measurement


def _uncertainty(reading):
    """Upper and lower half of the 95 % interval, in the reading's own unit."""
    from highdicom.sr import MeasurementProperties
    from pydicom.sequence import Sequence

    low, high = reading.quantity.interval95
    value = reading.quantity.value
    properties = MeasurementProperties(
        upper_measurement_uncertainty=float(max(high - value, 0)),
        lower_measurement_uncertainty=float(max(value - low, 0)),
    )
    for item in properties:  # highdicom writes "no units" here, which would mean nothing
        item.MeasuredValueSequence[0].MeasurementUnitsCodeSequence = Sequence([unit(reading.unit)])
    return properties


def _region(source, tooth, root, name, value):
    from highdicom.sr import (
        ImageRegion,
        PlanarROIMeasurementsAndQualitativeEvaluations,
        QualitativeEvaluation,
        SourceImageForRegion,
        TrackingIdentifier,
    )

    line = name in ROOT_LINES
    points = np.array(value if line else [value], dtype=float) + HALF
    if name == "lesion" and not np.array_equal(points[0], points[-1]):
        points = np.vstack([points, points[:1]])
    kind = "POLYLINE" if line else "POINT"
    words = ".".join(p for p in (f"tooth {tooth.fdi}", root, name) if p)
    evaluations = [QualitativeEvaluation(own(OTHERS, "root"), own(ROOTS, root))] if root else None
    return PlanarROIMeasurementsAndQualitativeEvaluations(
        tracking_identifier=TrackingIdentifier(uid=new_uid(), identifier=words),
        referenced_region=ImageRegion(
            kind, points, SourceImageForRegion.from_source_image(source, _frames(source))
        ),
        finding_type=own(LANDMARKS, name),
        finding_sites=[_site(tooth)],
        qualitative_evaluations=evaluations,
    )


# -- what the template has no place for -----------------------------------------------------------


def _text_item(concept, text, relation="HAS PROPERTIES"):
    from highdicom.sr import TextContentItem

    return TextContentItem(concept, text, relationship_type=relation)


def _code_item(concept, code):
    from highdicom.sr import CodeContentItem

    return CodeContentItem(concept, code, relationship_type="HAS CONCEPT MOD")


def _num_item(concept, value, units):
    from highdicom.sr import NumContentItem

    return NumContentItem(concept, float(value), units, relationship_type="HAS PROPERTIES")


def _append_texts(report, charts, rulebook, record):
    """Rulebook, scale and the exact record, contained by the report itself."""
    scale = "; ".join(
        f"tooth {chart.landmarks.tooth.fdi}: {note}"
        for chart in charts
        for note in chart.evaluation.scale.notes
    )
    texts = [
        ("rulebook", f"version {rulebook.version}, SHA-256 {rulebook.digest}"),
        ("record", record),
    ]
    if scale:
        texts.insert(1, ("scale_words", scale))
    for name, text in texts:
        report.ContentSequence.append(_text_item(own(OTHERS, name), text, "CONTAINS"))


def exact_record(charts, film, about=None):
    """What a case needs to be rebuilt to the last digit, as JSON text.

    ``about`` holds the case's ``label`` and the ``film`` as the case file keeps it, with
    its ``position`` among the films.
    """
    data = {
        "format": RECORD_FORMAT,
        "version": 1,
        "film_sha256": film.sha256,
        **(about or {}),
        "charts": [_chart_record(chart) for chart in charts],
    }
    data = json.loads(json.dumps(data, allow_nan=False, default=_plain))
    return record_text({**data, "sha256": record_digest(data)})


def _chart_record(chart):
    found = {
        "landmarks": landmarks_json.landmarks_to_json(chart.landmarks),
        "worksheet": dict(chart.worksheet),
        "plan": case_json.plan_to_json(chart.plan),
        "accepted": dict(chart.accepted),
        "recall": chart.recall,
    }
    return {key: value for key, value in found.items() if value or key == "landmarks"}


def _plain(value):
    """Mappings and tuples of frozen objects as JSON values."""
    return dict(value) if hasattr(value, "items") else list(value)


def _library_spacing(report, charts):
    """The image library must state the spacing the readings used, not the receptor's."""
    scales = [c.evaluation.scale for c in charts if c.evaluation.scale.along is not None]
    if not scales:
        return
    spacing = {"111026": scales[0].across.value, "111066": scales[0].along.value}
    for item in report.ContentSequence:
        if item.ConceptNameCodeSequence[0].CodeValue != "111028":
            continue
        for group in item.ContentSequence:
            for image in group.ContentSequence:
                for attribute in image.get("ContentSequence", []):
                    value = spacing.get(attribute.ConceptNameCodeSequence[0].CodeValue)
                    if value is not None:
                        measured = attribute.MeasuredValueSequence[0]
                        measured.NumericValue = f"{value:.8g}"
                        measured.FloatingPointValue = value
