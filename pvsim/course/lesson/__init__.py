"""What a lesson is, how it is read, translated and written out."""
