"""Paper goes out: answers as JSON, text, charts and cards, in the reader's units.

Nothing is computed here and nothing decided; figures come from an
:class:`~lapwright.window.answer.Answer` and sentences from ``words``.
"""
