"""The notebook on the screen. Only this package imports textual."""
