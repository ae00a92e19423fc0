"""Paper goes out: what a page says, block by block, and the PDF made of it."""
