"""A film and a landmark file in, everything derived from them out."""

from dataclasses import dataclass

from radmeasure.files.landmarks_json import check_on_film, read_landmarks
from radmeasure.files.text import write_whole
from radmeasure.model.film import Film
from radmeasure.model.rulebook import Rulebook
from radmeasure.workflow.evaluate import Evaluation, evaluate

READING_IDS = (
    "tooth_length",
    "canal_length",
    "working_length",
    "stop_setting",
    "file_gap",
    "filling_to_apex",
    "filling_length",
    "residual_filling",
    "post_gap",
    "post_length",
    "post_depth",
    "filling_depth",
    "post_depth_in_bone",
    "crown_length",
    "root_length",
    "clinical_crown_length",
    "clinical_root_length",
    "cej_to_crest",
    "margin_to_crest",
    "ferrule_available",
    "ferrule_shortfall",
    "lesion_area",
    "lesion_diameter",
    "lesion_width",
    "crown_root_anatomic",
    "crown_root_clinical",
    "bone_support",
    "bone_loss",
    "bone_loss_corrected",
    "curvature_schneider",
    "curvature_arc",
    "curvature_radius",
    "straight_length",
    "root_width",
    "canal_width",
    "dentine_mesial",
    "dentine_distal",
)


@dataclass(frozen=True, eq=False)
class MeasuredFilm:
    """A film with what was derived from its landmarks."""

    film: Film
    evaluation: Evaluation
    rulebook: Rulebook

    def is_missing(self, id_):
        """True when no reading of this id has a value, or any of its roots and sides lacks one."""
        found = [r for r in self.evaluation.readings if r.id == id_]
        return not found or any(r.quantity is None for r in found)


def measure_film(film_path, landmarks_path, own_rulebook=None):
    """Open, check and evaluate.

    Raises
    ------
    FilmError, InputError, RulebookError
    """
    from radmeasure.workflow.films import open_film
    from radmeasure.workflow.rulebook import load_post_sizes, load_rulebook

    film = open_film(film_path)
    landmarks = read_landmarks(landmarks_path)
    check_on_film(landmarks, film.width, film.height)
    rulebook = load_rulebook(own_rulebook)
    evaluation = evaluate(landmarks, rulebook, film.spacing, sizes=load_post_sizes())
    return MeasuredFilm(film, evaluation, rulebook)


def readings_text(measured):
    """The readings file as text."""
    from radmeasure.reports.readings_json import readings_text as text

    return text(measured.film, measured.evaluation, measured.rulebook)


def write_text(path, text):
    """Write a text file whole or not at all."""
    write_whole(path, text)
