"""``python -m lapwright``."""

from lapwright.cli import main

main(prog_name="lapwright")
