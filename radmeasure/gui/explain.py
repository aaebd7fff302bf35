"""What each reading is, and each rule: a definition, where it comes from, its picture."""

from dataclasses import dataclass

from PySide6.QtCore import QT_TRANSLATE_NOOP, QCoreApplication


@dataclass(frozen=True)
class Explanation:
    """Definition of a reading.

    Attributes
    ----------
    text, source : str
    """

    text: str
    source: str

    @property
    def words(self):
        return QCoreApplication.translate("Explain", self.text)

    @property
    def where_from(self):
        return QCoreApplication.translate("Explain", self.source)


_PROJECTED = QT_TRANSLATE_NOOP(
    "Explain", "Projected on the axis from the CEJ midpoint to the apex (Brezniak 2004, read)."
)
_CANAL = QT_TRANSLATE_NOOP("Explain", "Measured along the canal line.")
_PRACTICE = QT_TRANSLATE_NOOP("Explain", "Common practice, no source.")

EXPLANATIONS = {
    "tooth_length": Explanation(
        QT_TRANSLATE_NOOP("Explain", "From the coronal reference to the apex."),
        _PROJECTED,
    ),
    "canal_length": Explanation(
        QT_TRANSLATE_NOOP(
            "Explain",
            "From the coronal reference to the root face, then along the canal to the foramen, "
            "or to the apex when no foramen was placed.",
        ),
        _CANAL,
    ),
    "working_length": Explanation(
        QT_TRANSLATE_NOOP(
            "Explain",
            "With a file in the canal: its length, plus the gap from its tip to the apex, less "
            "the distance to stay short. Without one: the canal's length less that distance.",
        ),
        QT_TRANSLATE_NOOP(
            "Explain",
            "1.0 mm short; 1.5 with loss of bone, 2.0 with loss of bone and root "
            "(Weine, Endodontic Therapy, read).",
        ),
    ),
    "stop_setting": Explanation(
        QT_TRANSLATE_NOOP("Explain", "The working length, rounded to what a stop can be set to."),
        _PRACTICE,
    ),
    "file_gap": Explanation(
        QT_TRANSLATE_NOOP(
            "Explain", "From the file's tip to the apex along the canal; beyond it is negative."
        ),
        QT_TRANSLATE_NOOP(
            "Explain",
            "A file that looks short is on average 0.46 mm nearer than it looks, one that looks "
            "long 1.2 mm further (Williams et al., J Endod 2006;32:624-627, read).",
        ),
    ),
    "filling_to_apex": Explanation(
        QT_TRANSLATE_NOOP("Explain", "From the filling's end to the apex along the canal."),
        QT_TRANSLATE_NOOP(
            "Explain",
            "0 to 2 mm short is adequate (Ng et al., Int Endod J 2008;41:6-31, read).",
        ),
    ),
    "filling_length": Explanation(
        QT_TRANSLATE_NOOP("Explain", "From the filling's coronal to its apical end."),
        _CANAL,
    ),
    "residual_filling": Explanation(
        QT_TRANSLATE_NOOP("Explain", "Filling left below a post, or below the filling's top."),
        QT_TRANSLATE_NOOP("Explain", "4 to 5 mm are wanted (Morgano 1996; Ricketts 2005, read)."),
    ),
    "post_gap": Explanation(
        QT_TRANSLATE_NOOP("Explain", "From the post's end to the filling's top; none is wanted."),
        QT_TRANSLATE_NOOP(
            "Explain",
            "Disease in 17 % with no gap, 46 % up to 2 mm, 71 % over 2 mm "
            "(Moshonov et al., 94 teeth, read).",
        ),
    ),
    "post_length": Explanation(
        QT_TRANSLATE_NOOP("Explain", "From the post's coronal to its apical end."),
        _CANAL,
    ),
    "post_depth": Explanation(
        QT_TRANSLATE_NOOP("Explain", "From the root face to the post's end along the canal."),
        _CANAL,
    ),
    "filling_depth": Explanation(
        QT_TRANSLATE_NOOP(
            "Explain", "From the root face to the filling's top along the canal: room for a post."
        ),
        _CANAL,
    ),
    "post_depth_in_bone": Explanation(
        QT_TRANSLATE_NOOP("Explain", "From the mean crest to the post's end."),
        _PROJECTED,
    ),
    "crown_length": Explanation(
        QT_TRANSLATE_NOOP("Explain", "From the coronal reference to the midpoint of the CEJ."),
        _PROJECTED,
    ),
    "root_length": Explanation(
        QT_TRANSLATE_NOOP("Explain", "From the midpoint of the CEJ to the apex."),
        _PROJECTED,
    ),
    "clinical_crown_length": Explanation(
        QT_TRANSLATE_NOOP("Explain", "From the coronal reference to the mean crest."),
        _PROJECTED,
    ),
    "clinical_root_length": Explanation(
        QT_TRANSLATE_NOOP("Explain", "From the mean crest to the apex: the root in bone."),
        _PROJECTED,
    ),
    "cej_to_crest": Explanation(
        QT_TRANSLATE_NOOP("Explain", "From the CEJ to the crest of the same side."),
        QT_TRANSLATE_NOOP("Explain", "0.4 to 1.9 mm without loss of bone (Hausmann 1991, read)."),
    ),
    "margin_to_crest": Explanation(
        QT_TRANSLATE_NOOP("Explain", "Sound tooth from its margin to the crest, per side."),
        QT_TRANSLATE_NOOP(
            "Explain", "4 mm are wanted (Assif 1991, read), 4.5 mm in McLean 1998 (read)."
        ),
    ),
    "ferrule_available": Explanation(
        QT_TRANSLATE_NOOP(
            "Explain", "Sound tooth above the crest, less what the attachment needs."
        ),
        QT_TRANSLATE_NOOP(
            "Explain",
            "Attachment 2.04 mm on average, 0.75 to 4 (Gargiulo 1961, read); "
            "ferrule 1.5 to 2 mm (Juloski 2012, read).",
        ),
    ),
    "ferrule_shortfall": Explanation(
        QT_TRANSLATE_NOOP("Explain", "What is lacking of the ferrule that is wanted."),
        QT_TRANSLATE_NOOP("Explain", "Ferrule 1.5 to 2 mm (Juloski 2012, read)."),
    ),
    "lesion_area": Explanation(
        QT_TRANSLATE_NOOP("Explain", "Area inside the outline of the radiolucency."),
        QT_TRANSLATE_NOOP(
            "Explain", "Lesions show only after much mineral is lost (common teaching, no source)."
        ),
    ),
    "lesion_diameter": Explanation(
        QT_TRANSLATE_NOOP("Explain", "Largest diameter of the outline of the radiolucency."),
        QT_TRANSLATE_NOOP(
            "Explain", "Up to 3 mm S1, 3 to 5 mm S2, over 5 mm S3 (Venskutonis, read)."
        ),
    ),
    "lesion_width": Explanation(
        QT_TRANSLATE_NOOP("Explain", "Largest extent at right angles to the largest diameter."),
        QT_TRANSLATE_NOOP("Explain", "Venskutonis (read)."),
    ),
    "crown_root_anatomic": Explanation(
        QT_TRANSLATE_NOOP(
            "Explain", "Coronal reference to CEJ, divided by CEJ to apex. Needs no scale."
        ),
        QT_TRANSLATE_NOOP(
            "Explain", "No limit is firmly supported (Grossmann & Sadan 2005, read)."
        ),
    ),
    "crown_root_clinical": Explanation(
        QT_TRANSLATE_NOOP(
            "Explain", "Coronal reference to crest, divided by crest to apex. Needs no scale."
        ),
        QT_TRANSLATE_NOOP(
            "Explain",
            "2:3 optimum, 1:1 least (Shillingburg; Penny & Kraal 1979, from memory); no limit is "
            "firmly supported (Grossmann & Sadan 2005, read).",
        ),
    ),
    "bone_support": Explanation(
        QT_TRANSLATE_NOOP("Explain", "Crest to apex as a share of CEJ to apex, per side."),
        _PROJECTED,
    ),
    "bone_loss": Explanation(
        QT_TRANSLATE_NOOP("Explain", "CEJ to crest as a share of CEJ to apex, per side."),
        QT_TRANSLATE_NOOP(
            "Explain",
            "Classes under 15, 15 to 33, over 33 % (Tonetti et al. 2018, read). Staging is per "
            "patient and not from films alone.",
        ),
    ),
    "bone_loss_corrected": Explanation(
        QT_TRANSLATE_NOOP(
            "Explain", "Bone loss with the normal distance from CEJ to crest taken off both parts."
        ),
        QT_TRANSLATE_NOOP(
            "Explain",
            "Form of Maycher 2021 (read); the healthy mean is nearer 1 mm than 2 "
            "(Källestål & Matsson 1989, read).",
        ),
    ),
    "curvature_schneider": Explanation(
        QT_TRANSLATE_NOOP(
            "Explain",
            "Angle between the coronal canal's axis and the line from where the canal leaves it "
            "to the foramen.",
        ),
        QT_TRANSLATE_NOOP("Explain", "Schneider 1971 (read). A film shows one plane only."),
    ),
    "curvature_arc": Explanation(
        QT_TRANSLATE_NOOP("Explain", "Angle of the arc that follows the straight part."),
        QT_TRANSLATE_NOOP("Explain", "Pruett 1997 (geometry from memory)."),
    ),
    "curvature_radius": Explanation(
        QT_TRANSLATE_NOOP("Explain", "Radius of the arc that follows the straight part."),
        QT_TRANSLATE_NOOP("Explain", "Pruett 1997 (geometry from memory)."),
    ),
    "straight_length": Explanation(
        QT_TRANSLATE_NOOP(
            "Explain", "From the root face to where the canal begins to bend: a post does not."
        ),
        QT_TRANSLATE_NOOP("Explain", "Exact mathematics on the canal line."),
    ),
    "root_width": Explanation(
        QT_TRANSLATE_NOOP("Explain", "Between the root's walls, across the axis."), _PRACTICE
    ),
    "canal_width": Explanation(
        QT_TRANSLATE_NOOP("Explain", "Between the canal's walls, across the axis."), _PRACTICE
    ),
    "dentine_mesial": Explanation(
        QT_TRANSLATE_NOOP("Explain", "From the canal's wall to the root's wall, mesially."),
        QT_TRANSLATE_NOOP(
            "Explain", "1 mm is to stay beside a post (McLean 1998, read); 1.75 strict (memory)."
        ),
    ),
    "dentine_distal": Explanation(
        QT_TRANSLATE_NOOP("Explain", "From the canal's wall to the root's wall, distally."),
        QT_TRANSLATE_NOOP(
            "Explain", "1 mm is to stay beside a post (McLean 1998, read); 1.75 strict (memory)."
        ),
    ),
}
