"""What the close-out record and the day sheet say: sections of finished words, drawn elsewhere."""
