"""Coded concepts of our DICOM objects.

The 2024c dictionaries hold no code for root apex, alveolar crest, cemento-enamel
junction, working length, crown-to-root ratio or bone level, so readings and
landmarks are named in a private scheme, declared in every object as PS3.16
section 8 asks. Code values never change meaning; new ones are added at the end.
"""

from radmeasure.model.landmarks import ROOT_LINES, ROOT_POINTS, TOOTH_POINTS
from radmeasure.model.tooth import ROOT_NAMES

SCHEME = "99RADMEASURE"
SCHEME_UID = "2.25.218774653910421170934418805126629731846"
SCHEME_VERSION = "1"

# Reading id -> (code value, meaning of at most 64 characters).
READINGS = {
    "tooth_length": ("R01", "Tooth length, coronal reference to apex"),
    "canal_length": ("R02", "Canal length, coronal reference to foramen"),
    "working_length": ("R03", "Endodontic working length"),
    "stop_setting": ("R04", "Instrument stop setting"),
    "file_gap": ("R05", "Instrument tip to apex along the canal"),
    "filling_to_apex": ("R06", "Root filling end to apex along the canal"),
    "filling_length": ("R07", "Root filling length"),
    "residual_filling": ("R08", "Root filling left below the post"),
    "post_gap": ("R09", "Gap between post and root filling"),
    "post_length": ("R10", "Post length"),
    "post_depth_in_bone": ("R11", "Post length below the alveolar crest"),
    "crown_length": ("R12", "Crown length, coronal reference to CEJ"),
    "root_length": ("R13", "Root length, CEJ to apex"),
    "clinical_crown_length": ("R14", "Clinical crown length, coronal reference to crest"),
    "clinical_root_length": ("R15", "Clinical root length, crest to apex"),
    "cej_to_crest": ("R16", "CEJ to alveolar crest"),
    "margin_to_crest": ("R17", "Margin of sound tooth to alveolar crest"),
    "ferrule_available": ("R18", "Ferrule height available"),
    "ferrule_shortfall": ("R19", "Ferrule height lacking"),
    "lesion_area": ("R20", "Periapical radiolucency area"),
    "lesion_diameter": ("R21", "Periapical radiolucency largest diameter"),
    "lesion_width": ("R22", "Periapical radiolucency largest perpendicular width"),
    "crown_root_anatomic": ("R23", "Crown-to-root ratio, anatomic"),
    "crown_root_clinical": ("R24", "Crown-to-root ratio, clinical"),
    "bone_support": ("R25", "Bone support as percentage of root length"),
    "bone_loss": ("R26", "Radiographic bone loss as percentage of root length"),
    "bone_loss_corrected": ("R27", "Radiographic bone loss, normal distance removed"),
    "curvature_schneider": ("R28", "Canal curvature, Schneider angle"),
    "curvature_arc": ("R29", "Canal curvature, angle of arc"),
    "curvature_radius": ("R30", "Canal curvature, radius"),
    "straight_length": ("R31", "Length of straight canal from the orifice"),
    "root_width": ("R32", "Root width at a depth"),
    "canal_width": ("R33", "Canal width at a depth"),
    "dentine_mesial": ("R34", "Mesial dentine thickness at a depth"),
    "dentine_distal": ("R35", "Distal dentine thickness at a depth"),
    "post_depth": ("R36", "Post depth below the root canal orifice"),
    "filling_depth": ("R37", "Root filling coronal end below the root canal orifice"),
}
_LANDMARKS = (*TOOTH_POINTS, *ROOT_POINTS, *ROOT_LINES)
LANDMARKS = {
    name: (f"L{i:02d}", f"Landmark {name.replace('_', ' ').replace('cej', 'CEJ')}")
    for i, name in enumerate(_LANDMARKS, 1)
}
ROOTS = {name: (f"T{i:02d}", f"{name.capitalize()} root") for i, name in enumerate(ROOT_NAMES, 1)}
SIDES = {
    "mesial": ("S01", "Mesial side"),
    "distal": ("S02", "Distal side"),
    "mean": ("S03", "Mean of mesial and distal side"),
}
OTHERS = {
    "root": ("C01", "Root of the tooth"),
    "side": ("C02", "Side of the tooth"),
    "depth": ("C03", "Depth below the root canal orifice"),
    "scale_basis": ("C04", "Basis of distance calibration"),
    "record": ("C05", "Exact landmark record of the program"),
    "rulebook": ("C06", "Rulebook version and digest"),
    "scale_words": ("C07", "How the scale was obtained"),
    "method": ("C08", "How the value was obtained"),
    "verdict": ("C09", "Finding by rule"),
    "basis_file": ("B01", "Instrument of known length in the canal"),
    "basis_object": ("B02", "Reference object of known size"),
    "basis_pitch": ("B03", "Receptor pixel pitch over magnification"),
    "basis_both": ("B04", "Instrument in the canal and reference across"),
    "basis_none": ("B05", "None: ratios and angles only"),
}

# Unit of a reading -> (UCUM code, meaning).
UNITS = {
    "mm": ("mm", "millimeter"),
    "mm2": ("mm2", "square millimeter"),
    "deg": ("deg", "degree"),
    "%": ("%", "percent"),
    "1": ("{ratio}", "ratio"),
}


def own(table, name):
    """Coded concept of our scheme."""
    from highdicom.sr import CodedConcept

    value, meaning = table[name]
    return CodedConcept(value, SCHEME, meaning)


def unit(name):
    """UCUM unit as a coded concept."""
    from highdicom.sr import CodedConcept

    value, meaning = UNITS[name]
    return CodedConcept(value, "UCUM", meaning)


def scheme_item():
    """Coding Scheme Identification item (0008,0110) of the private scheme."""
    from pydicom.dataset import Dataset

    item = Dataset()
    item.CodingSchemeDesignator = SCHEME
    item.CodingSchemeUID = SCHEME_UID
    item.CodingSchemeName = "Periapical measurement concepts"
    item.CodingSchemeVersion = SCHEME_VERSION
    item.CodingSchemeResponsibleOrganization = "radmeasure"
    return item
