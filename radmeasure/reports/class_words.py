"""A marked class in words: who holds his intervals, and whose marks lie off which way."""

import math

from radmeasure.reports.figures import number
from radmeasure.reports.observer_words import table
from radmeasure.reports.phrases import say, translated
from radmeasure.reports.sentences import landmark_title


def class_text(marks):
    """The summary for the terminal."""
    head = say("c_head", students=len(marks.students), films=len(marks.films))
    parts = [head, "\n".join(table(_student_rows(marks)))]
    biased, looked_at = _biased(marks.landmarks)
    if biased:
        by_chance = say("c_chance", count=looked_at, some=math.ceil(looked_at / 20))
        parts.append("\n".join([say("c_off"), *table(biased, left=3), by_chance]))
    else:
        parts.append(say("c_none_off"))
    parts.append(say("c_own"))
    if marks.troubles:
        parts.append("\n".join([say("c_troubles"), *map(_worded, marks.troubles)]))
    return "\n\n".join(parts)


def _worded(trouble):
    """A trouble in the language in use; what is wrong and what to do are texts of their own."""
    return "  " + "; ".join(translated(part) for part in trouble.split("; "))


def _student_rows(marks):
    heads = ("c_student", "c_handed", "c_hold", "c_ratio", "c_written")
    rows = [[say(head) for head in heads]]
    for student in marks.students:
        held = [h.holds for h in marks.readings if h.handed.student == student]
        placed = marks.placements[student]
        known = [p.rms_mm / p.shipped_mm for p in placed if p.rms_mm is not None and p.shipped_mm]
        ratio = (sum(r * r for r in known) / len(known)) ** 0.5 if known else None
        films = len({h.film for h in marks.handed if h.student == student})
        rows.append(
            [
                student,
                say("c_of", part=films, all=len(marks.films)),
                say("c_of", part=sum(held), all=len(held)),
                "" if ratio is None else number(ratio, 2),
                say("c_of", part=sum(p.written for p in placed), all=len(placed)),
            ]
        )
    return rows


def _biased(study):
    """(landmarks whose mean error exceeds chance, the worst first; how many means there are)."""
    rows, looked_at = [], 0
    for reading in study.readings if study else ():
        for observer in reading.observers:
            said = observer.against
            looked_at += said.direction != "unknown"
            if said.direction in ("high", "low"):
                rows.append((observer.name, -abs(said.bias), reading, said))
    order = {name: i for i, name in enumerate(study.observers)} if study else {}
    rows.sort(key=lambda row: (order[row[0]], row[1]))
    cells = [[name, landmark_title(r.reading), _off(r, said)] for name, _, r, said in rows]
    return cells, looked_at


def _off(reading, said):
    where = "size" if reading.reading == "lesion" else reading.side
    low, high = sorted(abs(v) for v in said.interval95)
    return say(
        f"c_{where}_{said.direction}",
        by=number(abs(said.bias), 2),
        low=number(low, 2),
        high=number(high, 2),
    )
