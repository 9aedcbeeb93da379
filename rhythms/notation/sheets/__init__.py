"""Engine objects on paper: a practice sheet as data, and that data as a PDF.

A `Sheet` is made of a student's fills by `assignments.downloads.sheet_content`, and of a ladder by
`rhythms.ladders.ladder_sheet`. `pdf` engraves its fills, and Typst sets them by `sheet.typ`. What
people typed reaches Typst as JSON, never as markup. `PDF_VERSION` changes with the template.
"""

from rhythms.notation.sheets.sheet import PAPERS, Exercise, Section, Sheet
from rhythms.notation.sheets.sheet_pdf import PDF_VERSION, pdf

__all__ = ["PAPERS", "PDF_VERSION", "Exercise", "Section", "Sheet", "pdf"]
