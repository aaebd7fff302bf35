"""The door to all text: what a front may ask for in words.

Fronts import this module and no other of the package. Numbers become text in
:mod:`radmeasure.reports.figures`, sentences stand in
:mod:`radmeasure.reports.sentences`, their templates in
:mod:`radmeasure.reports.phrases`. Nothing here loads more than numpy.
"""

from radmeasure.reports.comparison_words import (
    alignment_text,
    change_rows,
    comparison_text,
)
from radmeasure.reports.figures import (
    MARKS,
    chance_text,
    depth_text,
    limit_text,
    measure,
    number,
    plus_minus,
    probability_text,
    quantity_text,
    size_text,
    stated_text,
    unbroken,
    value_text,
)
from radmeasure.reports.followup_words import follow_up_paragraphs
from radmeasure.reports.language import (
    decimal,
    error_text,
    language,
    languages,
    translated,
    use_language,
    wanted_language,
)
from radmeasure.reports.phrases import CAUTIONS, TEXT, joined, say
from radmeasure.reports.record import JOBS, Paragraph, reading_sentences, record
from radmeasure.reports.sentences import (
    Sentence,
    clash_sentence,
    finding_sentence,
    landmark_title,
    landmarks_text,
    reading_title,
    reference_text,
    root_title,
    rule_title,
    scale_sentences,
    source_text,
    title,
    tooth_title,
    trust_text,
    verdict_text,
    waits_sentence,
)
from radmeasure.reports.tables import (
    finding_text,
    paragraphs_text,
    place_text,
    record_text,
    table_text,
)
from radmeasure.reports.worksheet_words import worksheet_paragraphs

__all__ = [
    "CAUTIONS",
    "JOBS",
    "MARKS",
    "TEXT",
    "Paragraph",
    "Sentence",
    "alignment_text",
    "chance_text",
    "change_rows",
    "clash_sentence",
    "comparison_text",
    "decimal",
    "depth_text",
    "error_text",
    "finding_sentence",
    "finding_text",
    "follow_up_paragraphs",
    "joined",
    "landmark_title",
    "landmarks_text",
    "language",
    "languages",
    "limit_text",
    "measure",
    "number",
    "paragraphs_text",
    "place_text",
    "plus_minus",
    "probability_text",
    "quantity_text",
    "reading_sentences",
    "reading_title",
    "record",
    "record_text",
    "reference_text",
    "root_title",
    "rule_title",
    "say",
    "scale_sentences",
    "size_text",
    "source_text",
    "stated_text",
    "table_text",
    "title",
    "tooth_title",
    "translated",
    "trust_text",
    "unbroken",
    "use_language",
    "value_text",
    "verdict_text",
    "waits_sentence",
    "wanted_language",
    "worksheet_paragraphs",
]
