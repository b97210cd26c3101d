"""Every command of the program: where it is, and what it does in one line.

Standard library only. The help of the program is written from these tables; the module of a command loads when the
command is called. The commands of acts come from `acts.registry`.
"""

from __future__ import annotations

PROGRAM: dict[str, tuple[str, str]] = {
    "new": ("labs:new", "Make an empty lab and print its path."),
    "demo": ("labs:demo", "Make a lab from the sample and open it; thrown away afterwards."),
    "import": ("labs:import_", "Read a lab folder: all of it, or nothing with every fault listed."),
    "export": ("labs:export", "Write the lab as a folder of CSV files."),
    "undo": ("labs:undo", "Take back the last act of this bench, or one of the history."),
    "redo": ("labs:redo", "Do again what was taken back last."),
    "history": (
        "labs:history",
        "What was done, newest first; or what one act changed, with each value before and after it.",
    ),
    "backups": ("labs:backups", "The copies kept of a lab's file, newest first; each opens with --lab."),
    "settings": ("labs:settings", "Show the lab's settings, or change one."),
    "slabs": ("forecast:slabs", "Every slab not retired: wetness, verdict, evidence, advice."),
    "forecast": (
        "forecast:forecast",
        "When a layer would first feel workable, with its 90 % interval, in minutes after the pour.",
    ),
    "bodies": ("bodies:bodies", "Which bodies: those that a question holds for, with the means of their batches."),
    "compare": (
        "compare:compare",
        "Bodies side by side: means with 95 % intervals per firing, and how far each lies from one of them.",
    ),
    "faulty": (
        "labs:faulty",
        "Rows and settings that cannot be used as they stand, and why; everything else is answered without them.",
    ),
    "sheet": ("papers:sheet", "Write the bench sheet of a batch as a PDF to print, and print its path."),
    "labels": ("papers:labels", "Write labels with scannable codes as a PDF to print, and print its path."),
    "passport": (
        "papers:passport",
        "Write the passport of a slab as a PDF: size, mix, dry mass, verdict, wetness, all that happened to it.",
    ),
    "report": ("papers:report", "Write the report of a body as a PDF, or of several bodies side by side."),
    "table": (
        "papers:table",
        "A wide table for a spreadsheet: every piece with its measures, or every run with its times.",
    ),
    "read-table": (
        "read_table:read_table",
        "Read a spreadsheet's table in: all of it in one act, or nothing with every fault listed.",
    ),
    "plan": ("plan:plan", "The next bodies worth making, and when each can dry on which slab."),
    "sets": ("plan:sets", "Sets of bodies: how far each body has come, and what came out."),
    "plasticity": (
        "measuring:plasticity",
        "Liquid and plastic limit, the index between them, and water of plasticity, of dry mass.",
    ),
    "measured": (
        "own_values:measured",
        "What was read of one thing by the lab's own properties, what it comes to, and why.",
    ),
    "repeats": (
        "measuring:repeats",
        "How much of the scatter is the caliper and the hand, from readings made again, and what can be seen at all.",
    ),
    "whose-bar": (
        "measuring:whose_bar",
        "Which pieces a bar without a code may be, by its length, mass and firing, the likeliest first.",
    ),
    "trace": ("measuring:trace", "Where a fault may have come from, and what else it may be in."),
}
"""Before the acts in the help: `module:function` in `claybench.cli`, and the first sentence of the function's own help."""

ANY_ROW: dict[str, tuple[str, str]] = {
    "amend": (
        "record_acts:amend",
        'Correct any row: `amend run R7 layer_mm="12 mm"`, `amend check R7 14:05 feel=stiff`; nothing behind = clears.',
    ),
    "delete": ("record_acts:delete", "Delete any row; `claybench undo` brings it back."),
}
"""After the acts."""

MIX: dict[str, tuple[str, str]] = {
    "slab": ("mix:slab", "A plaster slab: plaster and water, masses, capacity, portions, buckets and the lift."),
    "slip": ("mix:slip", "A batch of slip: dry batch, water, slip, what to weigh, and how it lies on the slabs."),
    "correct": ("mix:correct", "Slip that came out too thick or too thin: water or dry body to add."),
    "blend": (
        "mix:blend",
        "A line or a triangle between bodies: what to take of each, by volume of slip or by dry mass.",
    ),
}

FIGURE: dict[str, tuple[str, str]] = {
    "triangle": (
        "figures:triangle",
        "Bounds, proposals and measured bodies of three materials, with contours of the chance or of a property.",
    ),
    "differences": ("figures:differences", "How far bodies lie from one of them, in one property."),
    "vitrification": ("figures:vitrification", "Shrinkage and absorption of bodies against heat."),
    "slab": (
        "figures:slab",
        "A slab's wetness through its life and, below it, its slowness, with what happened to it.",
    ),
    "slowness": (
        "figures:slowness",
        "How long each layer on a slab took over its forecast, wetness allowed for, and the chance that it has become slower.",
    ),
    "dry-out": ("figures:dry_out", "What a slab weighs since it last got wet, and what is expected of it."),
    "forecasts": (
        "figures:forecasts",
        "Forecasts at the pour, by what was known then, over the times that came: of the lab, a slab or a body.",
    ),
}
