"""Measured properties, each declared once: what it is called, what it is read from, its formula, ranges and source.

`expression` is the small grammar that formulas are written in, `declaration` what a property is, `property_set` how
values follow from readings, `built_in` the properties that every lab has. A lab's own are the same type.
"""
