"""Engine objects on paper: a practice sheet as data, and that data as a PDF."""

from rhythms.notation.paper.printing import PDF_VERSION, pdf
from rhythms.notation.paper.sheet import PAPERS, Exercise, Section, Sheet

__all__ = ["PAPERS", "PDF_VERSION", "Exercise", "Section", "Sheet", "pdf"]
