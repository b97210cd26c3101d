"""Forms: the screen that asks a few values, its fields, and the forms of acts that more than one place opens."""

from typing import TYPE_CHECKING

from claybench.later import modules_of

if TYPE_CHECKING:
    from claybench.tui.forms import (
        act_form as act_form,
        choice_field as choice_field,
        correcting as correcting,
        field_set as field_set,
        form as form,
        form_entry as form_entry,
        held_names as held_names,
        layers as layers,
        pieces as pieces,
        ring_test as ring_test,
        saving_figures as saving_figures,
        saving_tables as saving_tables,
        slab_log as slab_log,
    )
else:
    __getattr__ = modules_of(__name__)
