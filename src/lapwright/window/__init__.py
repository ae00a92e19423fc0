"""Where the seam is sound, inferred from few strips.

``strips`` says what a strip can tell; ``prior`` what is believed before the first;
``belief`` joins both over bottom and top; ``edges``, ``nextweld``, ``drift`` and
``setpoint`` ask that belief their questions; ``answer`` keeps the result so that it
can be replayed. Pulls speak of the bottom only; the top has its own evidence.
No units, words, files or clocks here.
"""
