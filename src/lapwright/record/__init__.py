"""What happened on the roof: facts, appended and never edited.

``kinds`` says which facts there are and what each must carry, ``setup`` and ``work``
list them. ``fact`` checks one, ``chain`` seals it behind the fact before, ``ledger`` is
what a store must be able to do, ``replay`` turns facts into the state of the job.

Not here: databases and files (``store``), what the facts prove (``proof``), what the
crew should do now (``job``).
"""
