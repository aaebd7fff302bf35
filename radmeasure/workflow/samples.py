"""The synthetic films shipped for trying out, and what each is for."""

from dataclasses import dataclass
from pathlib import Path

from radmeasure.files.shipped import shipped
from radmeasure.model.job import BY_ID

# Sample -> (its films in order of treatment, the job to try on it).
_SAMPLES = {
    "Alder": (("alder.dcm",), "length check"),
    "Birch": (("birch.png",), "filling check"),
    "Cedar": (("cedar.dcm",), "post plan"),
    "Elm": (("elm.png",), "post plan"),
    "Fir": (("fir.dcm",), "post plan"),
    "Hazel": (("hazel.jpg",), "filling check"),
    "Ivy": (("ivy-plan.dcm", "ivy-post.dcm"), "post check"),
    "Juniper": (("juniper-earlier.dcm", "juniper-later.dcm"), "recall"),
}
# Roles of a sample's films where they are not all the job's own.
_ROLES = {"Ivy": ("filling check", "post check"), "Juniper": ("post check", "recall")}


@dataclass(frozen=True)
class Sample:
    """A sample: its name, its films in order of treatment with their roles, the job to try."""

    name: str
    paths: tuple
    job: str
    roles: tuple


def sample_films():
    """The samples this installation has (tuple of Sample)."""
    folder = Path(shipped("sample_images"))
    found = []
    for name, (files, job) in _SAMPLES.items():
        paths = tuple(folder / file for file in files)
        if all(path.is_file() for path in paths):
            roles = _ROLES.get(name, (BY_ID[job].role,) * len(paths))
            found.append(Sample(name, paths, job, roles))
    return tuple(found)


def sample(name):
    """The sample of this name, or None."""
    return next((s for s in sample_films() if s.name == name), None)
