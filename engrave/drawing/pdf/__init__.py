"""PDF through ReportLab, which only this folder knows."""
