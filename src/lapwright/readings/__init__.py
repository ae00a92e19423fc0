"""Files come in: what crews, offices and weather services wrote, turned into SI.

Test welds: ``text`` turns bytes into text, ``rows`` text into rows, ``columns`` is the law
of names, units, limits and words, ``strips`` joins rows into test welds. Beside them stand
the job's rule files (``rules``) and the weather (``weather``). A file format never leaks
past this room, and nothing is judged here: a cell is understood or refused, not guessed.
"""
