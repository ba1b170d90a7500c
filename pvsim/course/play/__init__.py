"""Playing a lesson: progress, answers, what is lacking, the workbook."""
