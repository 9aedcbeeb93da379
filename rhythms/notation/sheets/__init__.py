"""Engine objects on paper: a practice sheet as data, and that data as a PDF."""

from rhythms.notation.sheets.sheet import PAPERS, Exercise, Section, Sheet
from rhythms.notation.sheets.sheet_pdf import PDF_VERSION, pdf

__all__ = ["PAPERS", "PDF_VERSION", "Exercise", "Section", "Sheet", "pdf"]
