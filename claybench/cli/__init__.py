"""Commands for scripts and the shell. Data goes to stdout, everything else to stderr."""

from typing import TYPE_CHECKING

from claybench.later import modules_of

if TYPE_CHECKING:
    from claybench.cli import (
        app as app,
        bodies as bodies,
        commands as commands,
        compare as compare,
        faulty_rows as faulty_rows,
        figure_bodies as figure_bodies,
        figure_slabs as figure_slabs,
        figure_triangle as figure_triangle,
        forecast as forecast,
        lab_context as lab_context,
        labs as labs,
        measuring as measuring,
        mix_blend as mix_blend,
        mix_correction as mix_correction,
        mix_slab as mix_slab,
        mix_slip as mix_slip,
        options as options,
        output as output,
        papers as papers,
        plan as plan,
        read_table as read_table,
        record_acts as record_acts,
        sample_folder as sample_folder,
        sets as sets,
        sizing_options as sizing_options,
        sizing_output as sizing_output,
        slabs as slabs,
        state as state,
        trace as trace,
    )
else:
    __getattr__ = modules_of(__name__)
