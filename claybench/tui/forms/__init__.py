"""Forms: what is asked as plain data, and the screen that asks it."""

from claybench.acts.field import ActField, FieldReading
from claybench.tui.forms.form import Form
from claybench.tui.forms.rows import Entry

__all__ = ["ActField", "Entry", "FieldReading", "Form"]
