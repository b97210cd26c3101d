"""What the record tells: wetness, time to workable, forecast, comparison, what is due.

Plain rows in, series and figures out; nothing here opens a lab.
"""
