"""The paper that is handed over: made from the record, signed, and proved against it years later.

The one room that joins what comes in (readings), what goes out (report) and the record.
"""
