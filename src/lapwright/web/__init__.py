"""The service: facts in and receipts out, what the record says now, and the field page.

``app`` wires it and gives refusals one shape; ``door`` says who is calling, ``access`` what they
may do; ``sync`` takes and gives facts, ``standing`` and ``reads`` answer from the record,
``static/`` is the page itself, plain modules without a build step. Nothing is computed here and
nothing kept: the one is the core's, the other the store's, so any number of workers may serve.
"""
