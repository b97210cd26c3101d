"""Every key, declared once: it feeds the footer, the help, the command palette and the docs."""

from __future__ import annotations

from dataclasses import dataclass

from textual.binding import Binding


@dataclass(frozen=True, slots=True)
class Key:
    """One key of one place."""

    id: str
    key: str
    words: str
    """One or two words for the footer."""
    help: str
    action: str
    footer: bool = True

    def binding(self) -> Binding:
        """As the screen library wants it."""
        return Binding(self.key, self.action, self.words, show=self.footer, id=self.id, priority=False)

    def shown(self) -> str:
        """The key as people say it."""
        names = {
            "greater_than_sign": ">",
            "less_than_sign": "<",
            "equals_sign": "=",
            "question_mark": "?",
            "slash": "/",
            "exclamation_mark": "!",
            "ctrl+": "Ctrl+",
            "enter": "Enter",
            "escape": "Esc",
        }
        first = self.key.split(",")[0]
        for name, word in names.items():
            first = first.replace(name, word)
        return first


def bindings(keys: tuple[Key, ...]) -> list[Binding | tuple[str, str] | tuple[str, str, str]]:
    """The bindings of a set of keys."""
    return [key.binding() for key in keys]


TOUCHES = (("f", "fluid"), ("s", "sticky"), ("w", "workable"), ("x", "stiff"))
"""The keys that note how a layer felt, in every place where one can be touched, and in the form of a touch."""


def touch_bindings(place: str, words: str, *, footer: bool = True) -> tuple[Key, ...]:
    """The keys of a touch in one place; `words` says what is touched, with `{}` for how it felt."""
    return tuple(
        Key(f"{place}.{feel}", letter, feel, words.format(feel), f"feel('{feel}')", footer) for letter, feel in TOUCHES
    )


PLACES: dict[str, tuple[str, tuple[Key, ...]]] = {}
"""All keys by place, with its title, for the help and the docs."""


def _keys_of(place: str, title: str, *keys: Key, also: tuple[Key, ...] = ()) -> tuple[Key, ...]:
    """The keys of one place, entered among `PLACES` with those that it has from elsewhere."""
    PLACES[place] = (title, (*keys, *also))
    return keys


EVERYWHERE = _keys_of(
    "everywhere", "Everywhere",
    Key("all.bench", "1", "Bench", "what is on the slabs, how long yet, what is due", "app.go('bench')", False),
    Key("all.slabs", "2", "Slabs", "every slab, its water and its log", "app.go('slabs')", False),
    Key("all.mix", "3", "Mix", "size a slab or a batch of slip", "app.go('mix')", False),
    Key("all.pieces", "4", "Pieces", "test pieces and their measures", "app.go('pieces')", False),
    Key("all.bodies", "5", "Bodies", "recipes, and comparing them", "app.go('bodies')", False),
    Key("all.book", "6", "Book", "batches, firings, materials, settings, history", "app.go('book')", False),
    Key("all.plan", "7", "Plan", "plan the next set: bounds, targets, proposals, calendar", "app.go('plan')", False),
    Key("all.undo", "u", "undo", "take back the last thing done", "app.undo_last"),
    Key("all.redo", "U", "redo", "do again what was taken back", "app.redo_last", False),
    Key("all.help", "question_mark,f1", "help", "what this screen is for, and its keys", "app.show_help"),
    Key("all.whose", "W", "whose bar", "find out whose bar it is, by its length, mass and firing", "app.whose_bar", False),
    Key("all.find", "ctrl+p", "find", "find any command, run, slab, body or piece by its name; or scan a label", "app.command_palette", False),
    Key("all.table", "T,f2", "save table", "save the table on the screen as a CSV for a spreadsheet (F2 while you type)", "app.save_table", False),
    Key("all.sort", "greater_than_sign", "sort", "sort the table by its next column; a click on a heading sorts by that one", "app.sort(1)", False),
    Key("all.sort_before", "less_than_sign", "sort before", "sort it by the column before; past the first one it stands as it came", "app.sort(-1)", False),
    Key("all.sort_turn", "equals_sign", "turn round", "sort it the other way round; what is missing stays last", "app.sort(0)", False),
    Key("all.faulty", "exclamation_mark", "faulty", "rows that cannot be used as they stand, and why; Enter corrects one", "app.show_faulty", False),
    Key("all.read", "R,f3", "read in", "read a table in from a spreadsheet's CSV (F3 while you type)", "app.read_table", False),
    Key("all.cautions", "C,f4", "cautions", "show the cautions whole, go on through them, or fold them again (F4 while you type)", "app.turn_cautions", False),
    Key("all.quit", "ctrl+q", "close", "close claybench; everything is saved already", "app.quit", False),
)  # fmt: skip
FORM = _keys_of(
    "form", "Any form",
    Key("form.save", "ctrl+s", "save", "save what is entered", "save"),
    Key("form.next", "down", "next", "next field (Enter too; on the last field it saves)", "next_field", False),
    Key("form.before", "up", "before", "field before", "field_before", False),
    Key("form.empty", "ctrl+r", "start over", "drop the draft and start over", "start_over"),
    Key("form.leave", "escape", "leave", "leave; what you typed is kept as a draft", "leave"),
)  # fmt: skip
BENCH = _keys_of(
    "bench", "Bench",
    Key("bench.open", "enter", "open", "open the slab or the layer on this line", "open", False),
    Key("bench.pour", "p", "pour", "pour slip on a slab: begin a run", "pour"),
    Key("bench.where", "b", "best slab", "which slab is best now, at any depth of slip", "where", False),
    *touch_bindings("bench", "the layer on this line felt {} just now"),
    Key("bench.lift", "l", "lift", "lift the layer off, with the clay's and the slab's mass", "lift"),
    Key("bench.due", "d", "due", "to what is due, and back: Enter opens the layer, the slab or the grid of readings it speaks of", "due"),
    Key("bench.past", "h", "came out", "how the lab's forecasts came out", "past", False),
    Key("bench.weigh", "m", "weigh", "enter what the bare slab weighs now", "weigh"),
    Key("bench.air", "a", "air", "enter the air of the workshop", "air", False),
)  # fmt: skip
WHERE = _keys_of(
    "where", "Which slab",
    Key("where.pour", "enter", "pour on it", "begin a run on the slab on this line", "choose"),
    Key("where.thinner", "left", "thinner", "a millimetre of slip less", "deeper(-1)"),
    Key("where.thicker", "right", "thicker", "a millimetre more", "deeper(1)"),
    Key("where.depth", "d", "depth", "type a depth", "field('depth')"),
    Key("where.what", "b", "what", "another batch or body to pour", "field('what')"),
    Key("where.back", "escape", "back", "back to where you came from", "back"),
)  # fmt: skip
PAST = _keys_of(
    "past", "How forecasts came out",
    Key("past.open", "enter", "open", "open the run on this line", "open"),
    Key("past.figure", "g", "figure", "save the figure", "figure"),
    Key("past.back", "escape", "back", "back to where you came from", "back"),
)  # fmt: skip
POUR_FORM = _keys_of(
    "pour_form", "The form for a pour",
    Key("pour_form.where", "ctrl+b", "best slab", "which slab is best now; the one chosen is filled in", "which_slab"),
    also=FORM,
)  # fmt: skip
RUN = _keys_of(
    "run", "One run",
    *touch_bindings("run", "it felt {} just now"),
    Key("run.check", "c", "touch", "a touch at another time, or with something done to the layer", "check"),
    Key("run.lift", "l", "lift", "lift it off", "lift"),
    Key("run.open", "enter", "correct", "correct the touch on this line", "open_line", False),
    Key("run.delete", "d", "delete", "delete the touch on this line; undo brings it back", "delete_line", False),
    Key("run.form", "n", "form", "form test pieces from it", "form_pieces"),
    Key("run.found", "o", "found", "plaster or another fault found in its clay", "fault", False),
    Key("run.trace", "t", "trace", "back from its clay to slab and board, and forward to what shares the cause", "trace", False),
    Key("run.correct", "e", "correct", "fill in or correct what is known of the run", "correct", False),
    Key("run.own", "a", "own", "what is read of it by your own properties, and a further reading", "own_readings", False),
    Key("run.batch", "b", "batch", "open its batch", "batch", False),
    Key("run.back", "escape", "back", "back to where you came from", "back"),
)  # fmt: skip
SLABS = _keys_of(
    "slabs", "Slabs",
    Key("slabs.open", "enter", "open", "open the slab on this line", "open"),
    Key("slabs.cast", "n", "cast", "size and cast a new slab", "cast"),
    Key("slabs.old", "e", "enter old", "enter a slab that was there before the record began", "old"),
    Key("slabs.weigh", "m", "weigh", "enter what the bare slab weighs now", "weigh"),
    Key("slabs.dry", "y", "is dry", "it has stopped losing weight: its dry mass", "weigh_dry"),
    Key("slabs.turn", "t", "turned", "it was turned just now", "turn"),
    Key("slabs.log", "o", "happened", "anything else that happened to it", "log"),
)  # fmt: skip
SLAB = _keys_of(
    "slab", "One slab",
    Key("slab.weigh", "m", "weigh", "enter what the bare slab weighs now", "weigh"),
    Key("slab.dry", "y", "is dry", "it has stopped losing weight: its dry mass", "weigh_dry"),
    Key("slab.turn", "t", "turned", "it was turned just now", "turn"),
    Key("slab.log", "o", "happened", "anything else that happened to it", "log"),
    *touch_bindings("slab", "the layer on it felt {} just now", footer=False),
    Key("slab.open", "enter", "open", "correct the line of its log, or open the run on it", "open_line", False),
    Key("slab.delete", "d", "delete", "delete the line of its log; undo brings it back", "delete_line", False),
    Key("slab.service", "v", "in service", "take it into service, or retire it", "service", False),
    Key("slab.correct", "e", "correct", "correct its size, mix or family", "correct", False),
    Key("slab.pour", "r", "pour steps", "the steps of its pour, each with its time", "pour_steps", False),
    Key("slab.view", "right", "next figure", "wetness through its life, how slow it is, how it dries out at present", "view(1)", False),
    Key("slab.before", "left", "", "figure before", "view(-1)", False),
    Key("slab.past", "h", "came out", "how forecasts on it came out", "past", False),
    Key("slab.own", "a", "own", "what is read of it by your own properties, and a further reading", "own_readings", False),
    Key("slab.trace", "c", "trace", "what happened on it, and what else may have taken it up", "trace", False),
    Key("slab.figure", "g", "figure", "save the figure of its life", "figure"),
    Key("slab.passport", "p", "print", "save its passport as a PDF to print", "passport"),
    Key("slab.labels", "l", "labels", "labels for it, with a code to scan", "labels", False),
    Key("slab.photos", "i", "photos", "pictures of it: names of their files, and what they show", "photos", False),
    Key("slab.back", "escape", "back", "back to where you came from", "back"),
)  # fmt: skip
POUR = _keys_of(
    "pour", "Pouring a slab",
    Key("pour.done", "enter,space", "done", "the step that comes next was done just now; u takes it back", "done"),
    Key("pour.slab", "o", "slab", "the slab's own page", "slab"),
    Key("pour.back", "escape", "back", "back to where you came from; the clock goes on", "back"),
)  # fmt: skip
RING = _keys_of(
    "ring", "A ring test",
    Key("ring.time", "ctrl+t", "start, stop", "the stopwatch: as the water goes in, and when it is gone", "stopwatch"),
    also=FORM,
)  # fmt: skip
MIX = _keys_of(
    "mix", "Mix",
    Key("mix.slab_sizing", "ctrl+b", "slab", "size a slab", "show('slab')"),
    Key("mix.slip_formulas", "ctrl+l", "slip", "size a batch of slip", "show('slip')"),
    Key("mix.correct", "ctrl+t", "adjust", "bring slip that came out too thick or thin to its target", "show('correct')"),
    Key("mix.blend", "ctrl+g", "blend", "a line or a triangle between two or three bodies", "show('blend')"),
    Key("mix.record", "ctrl+s", "record", "turn it into a slab, a batch, a line of the batch's log or bodies", "record"),
    Key("mix.begin", "ctrl+n", "begin", "begin now, step by step: the pour of a slab, the weighing out of a batch", "begin"),
    Key("mix.why", "ctrl+o", "why", "where each figure comes from", "why"),
    Key("mix.next", "down", "", "next field", "next_field", False),
    Key("mix.before", "up", "", "field before", "field_before", False),
    Key("mix.leave", "escape", "leave", "out of the field, so that the number keys change the place", "leave"),
)  # fmt: skip
PIECES = _keys_of(
    "pieces", "Pieces",
    Key("pieces.open", "enter", "open", "open the piece on this line", "open"),
    Key("pieces.form", "n", "form", "form test pieces of a batch", "form_pieces"),
    Key("pieces.measure", "m", "measure", "enter readings one piece after another", "measure"),
    Key("pieces.fire", "f", "fired", "enter a firing and the pieces that were in it", "fire"),
    Key("pieces.fault", "x", "looked", "looked at it: a fault, or none", "fault"),
    Key("pieces.end", "b", "broken", "the piece is broken, lost or scrapped", "end"),
    Key("pieces.whose", "w", "whose bar", "find an unknown bar by its length, mass and firing", "app.whose_bar", False),
    Key("pieces.repeats", "s", "scatter", "how much of the scatter is the caliper and the hand; begin a measurement study", "repeats", False),
    Key("pieces.filter", "slash", "filter", "show only lines that hold these letters", "filter"),
)  # fmt: skip
PIECE = _keys_of(
    "piece", "One piece",
    Key("piece.measure", "m", "measure", "enter or correct its readings", "measure"),
    Key("piece.fault", "x", "looked", "looked at it: a fault, or none", "fault"),
    Key("piece.own", "a", "own", "what is read of it by your own properties, and a further reading", "own_readings", False),
    Key("piece.trace", "t", "trace", "back to batch, run and slab, and forward to what shares the cause", "trace"),
    Key("piece.open", "enter", "open", "correct the firing, reading or fault on this line", "open_line", False),
    Key("piece.delete", "d", "delete", "delete the line; undo brings it back", "delete_line", False),
    Key("piece.correct", "e", "correct", "everything of it line by line, to correct, add to or delete", "correct"),
    Key("piece.why", "ctrl+o", "why", "where each figure comes from", "why", False),
    Key("piece.photo", "i", "photo", "a picture of it: the name of its file, and what it shows", "photo", False),
    Key("piece.end", "b", "broken", "it is broken, lost or scrapped", "end"),
    Key("piece.back", "escape", "back", "back to the pieces", "back"),
)  # fmt: skip
MEASURE = _keys_of(
    "measure", "Measuring",
    Key("measure.next", "ctrl+n", "next kind", "the next kind of reading, at the first piece that lacks it", "reading(1)"),
    Key("measure.before", "ctrl+b", "reading before", "the kind of reading before", "reading(-1)", False),
    Key("measure.right", "tab", "across", "the next reading of the same piece", "across(1)"),
    Key("measure.left", "shift+tab", "", "the reading before, of the same piece", "across(-1)", False),
    Key("measure.down", "down", "", "next piece (Enter saves and goes there)", "move(1)", False),
    Key("measure.up", "up", "", "piece before", "move(-1)", False),
    Key("measure.method", "ctrl+t", "how", "how it was dried or soaked: air, oven; boil, vacuum, soak", "method"),
    Key("measure.hours", "ctrl+s", "hours", "for how many hours it was soaked; another soak is kept beside the first", "hours", False),
    Key("measure.firing", "ctrl+f", "firing", "readings of another firing", "firing"),
    Key("measure.property", "ctrl+g", "property", "what is read for a property: modulus of rupture, or one of your own", "property"),
    Key("measure.again", "ctrl+r", "both", "keep what is typed as a further reading beside the first", "again", False),
    Key("measure.looked", "ctrl+l", "looked", "looked at this piece: a fault, or none", "looked", False),
    Key("measure.hand", "ctrl+o", "hand", "whose hand measures, and with which ruler and scale", "hand", False),
    Key("measure.undo", "ctrl+z", "undo", "take back the last thing done, while you type", "app.undo_typing"),
    Key("measure.leave", "escape", "leave", "back to the pieces; every reading is saved, a half-typed one kept", "leave"),
)  # fmt: skip
REPEATS = _keys_of(
    "repeats", "Scatter of measuring",
    Key("repeats.begin", "n", "begin", "begin a study: which reading, which bars, whose hands", "begin"),
    Key("repeats.go_on", "enter", "go on", "go on with the study under way", "go_on"),
    Key("repeats.why", "ctrl+o", "why", "where these figures come from", "why"),
    Key("repeats.back", "escape", "back", "back to the pieces", "back"),
)  # fmt: skip
STUDY = _keys_of(
    "study", "A measurement study",
    Key("study.later", "down", "put off", "this bar later", "put_off"),
    Key("study.undo", "ctrl+z", "undo", "take back the last reading, while you type", "app.undo_typing"),
    Key("study.leave", "escape", "leave", "leave; the study goes on where it stood", "leave"),
)  # fmt: skip
WHOSE = _keys_of(
    "whose", "Whose bar",
    Key("whose.open", "enter", "open", "next field; in the list, open the piece on the line", "open"),
    Key("whose.down", "down", "", "next field, then the list", "step(1)", False),
    Key("whose.up", "up", "", "field before", "step(-1)", False),
    Key("whose.back", "escape", "back", "from the list to the fields, from the fields back", "fields"),
)  # fmt: skip
READINGS = _keys_of(
    "readings", "Read by your own properties",
    Key("readings.read", "a", "read", "enter a further reading of a property; it stands beside the first", "read"),
    Key("readings.open", "enter", "correct", "correct the reading on this line", "open_line"),
    Key("readings.delete", "d", "delete", "delete the reading on this line; undo brings it back", "delete_line"),
    Key("readings.why", "ctrl+o", "why", "where each value comes from", "why"),
    Key("readings.declare", "n", "declare", "declare a property of your own of such things", "declare"),
    Key("readings.back", "escape", "back", "back to where you came from", "back"),
)  # fmt: skip
TRACE = _keys_of(
    "trace", "Tracing a fault",
    Key("trace.open", "enter", "open", "open the piece, batch, run or slab on this line", "open"),
    Key("trace.filter", "slash", "filter", "show only lines that hold these letters", "filter"),
    Key("trace.print", "p", "print", "save it as a PDF to print, with a box for each bar to look at", "print"),
    Key("trace.back", "escape", "back", "back to where you came from", "back"),
)  # fmt: skip
ROWS = _keys_of(
    "rows", "Everything of a piece",
    Key("rows.open", "enter", "correct", "correct the line", "open"),
    Key("rows.photo", "n", "photo", "add a photo: the name of its file, and what it shows", "photo"),
    Key("rows.reading", "r", "reading", "add a further reading of a piece, of any kind", "reading"),
    Key("rows.delete", "d", "delete", "delete the line; undo brings it back", "delete"),
    Key("rows.back", "escape", "back", "back to where you came from", "back"),
)  # fmt: skip
BODIES = _keys_of(
    "bodies", "Bodies",
    Key("bodies.open", "enter", "open", "open the body on this line", "open"),
    Key("bodies.ask", "a", "ask", "ask which bodies, in one plain line that is answered while you type", "ask"),
    Key("bodies.ask_form", "f", "by form", "ask the same by a form", "ask_form", False),
    Key("bodies.keep", "s", "keep", "keep the question under a name, for every bench", "keep", False),
    Key("bodies.questions", "o", "kept", "the kept questions: ask, rename or delete one", "questions"),
    Key("bodies.new", "n", "design", "design a body: its recipe", "new"),
    Key("bodies.mark", "space", "mark", "mark it for comparing, or unmark it", "mark"),
    Key("bodies.compare", "c", "compare", "compare the marked bodies; without marks those that answer the question", "compare"),
    Key("bodies.mix", "b", "mix", "size and mix a batch of it", "mix"),
    Key("bodies.correct", "e", "change", "change the body or its recipe", "correct", False),
    Key("bodies.filter", "slash", "filter", "show only lines that hold these letters", "filter"),
    Key("bodies.leave", "escape", "to list", "out of the question, back to the list", "leave", False),
)  # fmt: skip
QUESTIONS = _keys_of(
    "questions", "Kept questions",
    Key("questions.open", "enter", "ask", "ask the question on this line", "open"),
    Key("questions.rename", "r", "rename", "call it something else", "rename"),
    Key("questions.delete", "d", "delete", "delete it; undo brings it back", "delete"),
    Key("questions.back", "escape", "back", "back to the bodies", "back"),
)  # fmt: skip
BODY = _keys_of(
    "body", "One body",
    Key("body.mix", "b", "mix", "size and mix a batch of it", "mix"),
    Key("body.recipe", "r", "recipe", "change the recipe", "recipe"),
    Key("body.correct", "e", "correct", "correct what is known of it", "correct"),
    Key("body.child", "n", "change", "design a body from this one", "child"),
    Key("body.compare", "c", "compare", "compare it with its parent and its family's control", "compare"),
    Key("body.own", "a", "own", "what is read of it by your own properties, and a further reading", "own_readings"),
    Key("body.past", "h", "came out", "how forecasts of it came out", "past", False),
    Key("body.report", "p", "print", "save its report as a PDF to print", "report"),
    Key("body.labels", "l", "labels", "labels for bags of it, with a code to scan", "labels", False),
    Key("body.photos", "i", "photos", "pictures of it: names of their files, and what they show", "photos", False),
    Key("body.back", "escape", "back", "back to the bodies", "back"),
)  # fmt: skip
COMPARE = _keys_of(
    "compare", "Comparing",
    Key("compare.property", "right", "next", "next property", "property(1)"),
    Key("compare.before", "left", "before", "property before", "property(-1)", False),
    Key("compare.view", "v", "view", "every property, one with its differences, or shrinkage and absorption against heat", "view(1)"),
    Key("compare.reference", "r", "reference", "hold the others against the body on this line", "reference"),
    Key("compare.limit", "t", "tight", "below which absorption a body counts as tight", "limit", False),
    Key("compare.figure", "g", "figure", "save the figure", "figure"),
    Key("compare.report", "p", "print", "save the comparison as a PDF to print", "report"),
    Key("compare.back", "escape", "back", "back to the bodies", "back"),
)  # fmt: skip
BOOK = _keys_of(
    "book", "Book",
    Key("book.next", "right", "next page", "next page of the book", "page(1)"),
    Key("book.before", "left", "page before", "page before", "page(-1)"),
    Key("book.open", "enter", "open", "open the line, or correct it; of an act, what it changed", "open"),
    Key("book.new", "n", "new", "a new line on this page", "new"),
    Key("book.delete", "d", "delete", "delete the line, or take back the act on it; undo brings it back", "delete"),
    Key("book.own", "a", "own", "what is read of this line by your own properties, and a further reading", "own_readings"),
    Key("book.filter", "slash", "filter", "show only lines that hold these letters", "filter"),
)  # fmt: skip
BATCH = _keys_of(
    "batch", "One batch",
    Key("batch.sheet", "p", "print", "save its bench sheet as a PDF to print", "sheet"),
    Key("batch.labels", "l", "labels", "labels for its bags and buckets, with a code to scan", "labels", False),
    Key("batch.weigh", "g", "weigh out", "weigh it out one material at a time", "weigh_out"),
    Key("batch.pour", "r", "pour", "pour it on a slab", "pour"),
    Key("batch.where", "b", "best slab", "which slab is best for it now, at any depth of slip", "where", False),
    Key("batch.pieces", "n", "form", "form test pieces of it", "form_pieces"),
    Key("batch.plasticity", "t", "plasticity", "liquid and plastic limit: cup, cone, threads", "plasticity", False),
    Key("batch.own", "a", "own", "what is read of it by your own properties, and a further reading", "own_readings", False),
    Key("batch.log", "o", "happened", "water added, screened, sampled and the like", "log"),
    Key("batch.open", "enter", "open", "correct the line of its log or of what was weighed, or open the run on it", "open_line", False),
    Key("batch.delete", "d", "delete", "delete the line; undo brings it back", "delete_line", False),
    Key("batch.correct", "e", "correct", "fill in or correct its figures", "correct"),
    Key("batch.lines", "w", "weights", "fill in or correct what was weighed", "weights", False),
    Key("batch.back", "escape", "back", "back to where you came from", "back"),
)  # fmt: skip
PLASTICITY = _keys_of(
    "plasticity", "Plasticity",
    Key("plasticity.cup", "c", "cup", "points by the cup, one after another", "add('liquid_cup')"),
    Key("plasticity.cone", "f", "cone", "points by the fall cone", "add('liquid_cone')"),
    Key("plasticity.thread", "t", "thread", "threads of the plastic limit", "add('plastic_thread')"),
    Key("plasticity.bend", "b", "bend", "a coil bent round a finger", "add('coil_bend')"),
    Key("plasticity.open", "enter", "fill in", "fill in the dry mass of this point, or correct it", "open"),
    Key("plasticity.why", "ctrl+o", "why", "where each limit comes from", "why", False),
    Key("plasticity.delete", "d", "delete", "delete the point; undo brings it back", "delete", False),
    Key("plasticity.back", "escape", "back", "back to the batch", "back"),
)  # fmt: skip
WEIGH = _keys_of(
    "weigh", "Weighing out",
    Key("weigh.total", "ctrl+t", "scale shows", "say what the scale shows: this material alone, or all so far", "total"),
    Key("weigh.follow", "ctrl+g", "rest follows", "more of it went in than was wanted: everything else follows, and the batch is larger", "follow", False),
    Key("weigh.before", "up", "back", "weigh the material before again", "step(-1)"),
    Key("weigh.next", "down", "next", "the material after it", "step(1)", False),
    Key("weigh.leave", "escape", "leave", "leave; what was weighed is saved", "leave"),
)  # fmt: skip
PLAN = _keys_of(
    "plan", "Plans",
    Key("plan.open", "enter", "open", "propose the bodies of the plan on this line", "open"),
    Key("plan.new", "n", "new", "write a plan", "new"),
    Key("plan.edit", "e", "change", "change the plan on this line", "edit"),
    Key("plan.set", "s", "follow set", "the bodies made of it: how far each has come, what came out", "set"),
    Key("plan.elsewhere", "o", "from file", "open a plan file from anywhere", "elsewhere"),
    Key("plan.filter", "slash", "filter", "show only lines that hold these letters", "filter"),
)  # fmt: skip
PLAN_FORM = _keys_of(
    "plan_form", "Writing a plan",
    Key("plan_form.save", "ctrl+s", "save", "save the plan and propose its bodies", "save"),
    Key("plan_form.part", "ctrl+n", "next part", "the next part: materials, groups, fixed parts, targets, first set, file", "next_part"),
    Key("plan_form.out", "ctrl+t", "line out", "take this line of materials, groups or fixed parts out", "take_out"),
    Key("plan_form.next", "down", "next", "next field (Enter too; on the last field it saves)", "next_field", False),
    Key("plan_form.before", "up", "before", "field before", "field_before", False),
    Key("plan_form.empty", "ctrl+r", "start over", "drop the draft and start over", "start_over"),
    Key("plan_form.leave", "escape", "leave", "leave; what you typed is kept as a draft", "leave"),
)  # fmt: skip
PLAN_RESULTS = _keys_of(
    "plan_results", "What a plan proposes",
    Key("plan_results.next", "right", "next view", "bodies, triangle, calendar, notes", "view(1)"),
    Key("plan_results.view_before", "left", "view before", "the view before", "view(-1)", False),
    Key("plan_results.why", "w", "why", "where the chance and the numbers of this body come from", "why"),
    Key("plan_results.mark", "space", "mark", "mark a body for making, or unmark it", "mark", False),
    Key("plan_results.make", "m", "make", "make the body on this line, or those marked, each with its batch", "make"),
    Key("plan_results.all", "a", "make all", "make the whole set: bodies and batches, in one act", "make_all"),
    Key("plan_results.three", "t", "materials", "the triangle of the next three materials", "three(1)", False),
    Key("plan_results.three_before", "b", "materials before", "the triangle of the three before", "three(-1)", False),
    Key("plan_results.contours", "v", "contours", "contours of the chance, or of the next property", "contours", False),
    Key("plan_results.figure", "g", "figure", "save the triangle as a picture", "figure", False),
    Key("plan_results.print", "p", "print", "save the calendar as a PDF to print, with boxes to tick", "print", False),
    Key("plan_results.set", "s", "set", "follow the bodies made of it", "set"),
    Key("plan_results.edit", "e", "change", "change the plan", "edit"),
    Key("plan_results.again", "r", "ask again", "propose and place anew, as the slabs are now", "again", False),
    Key("plan_results.back", "escape", "back", "back to the plans", "back"),
)  # fmt: skip
PLAN_SET = _keys_of(
    "plan_set", "One set",
    Key("plan_set.open", "enter", "batch", "open its newest batch: weigh, pour, form pieces", "open"),
    Key("plan_set.body", "b", "body", "open the body", "body"),
    Key("plan_set.weigh", "g", "weigh out", "weigh its batch out one material at a time", "weigh_out"),
    Key("plan_set.compare", "c", "compare", "the whole set side by side", "compare"),
    Key("plan_set.back", "escape", "back", "back to where you came from", "back"),
)  # fmt: skip
FILES = _keys_of(
    "files", "Choosing a file",
    Key("files.open", "enter", "open", "open the file or the folder on this line, or the path that is typed", "open"),
    Key("files.next", "down", "", "next line", "move(1)", False),
    Key("files.before", "up", "", "line before", "move(-1)", False),
    Key("files.back", "escape", "back", "back to where you came from", "back"),
)  # fmt: skip
READ = _keys_of(
    "read", "Reading a table in",
    Key("read.next", "right", "step", "next step: the file, its columns, its rows as understood, what is wrong", "page(1)"),
    Key("read.before", "left", "step before", "step before", "page(-1)", False),
    Key("read.open", "enter", "change", "say where this column goes, or change what holds for every row", "open"),
    Key("read.every", "c", "every row", "say what is the same in every row", "every", False),
    Key("read.how", "o", "written", "decimal mark, dates, clock, delimiter, encoding; whether rows there are changed", "how"),
    Key("read.details", "e", "unit", "unit, words and empty cells of this column", "details", False),
    Key("read.drop", "d", "leave out", "leave this column out", "drop", False),
    Key("read.kind", "r", "a row is", "say what a row of the file is", "kind", False),
    Key("read.head", "h", "headings", "the headings stand in this row", "head", False),
    Key("read.keep", "s", "keep", "keep this mapping by a name for the next file", "keep", False),
    Key("read.kept", "m", "kept", "use a mapping that was kept", "kept", False),
    Key("read.answer", "a", "answer", "answer what is asked of the whole file", "answer"),
    Key("read.skip", "x", "row out", "pass over this row", "skip", False),
    Key("read.take", "ctrl+s", "read in", "read all of it in, in one act", "take"),
    Key("read.sound", "g", "sound", "read the sound rows in, and write the others with their reasons to a table", "take_sound"),
    Key("read.back", "escape", "back", "back to the files; the mapping stays as a draft", "back"),
)  # fmt: skip
PICK = _keys_of(
    "pick", "Choosing one of a list",
    Key("pick.next", "down", "next", "next line", "move(1)"),
    Key("pick.before", "up", "before", "line before", "move(-1)"),
    Key("pick.leave", "escape", "leave", "leave it as it is (Enter takes the line)", "leave"),
)  # fmt: skip
QUESTION = _keys_of(
    "question", "Asked whether it is meant",
    Key("question.meant", "ctrl+y", "yes", "it is meant: record it as it is, or as answered", "meant"),
    Key("question.back", "escape", "back", "nothing is recorded, and what was typed is kept", "back"),
)  # fmt: skip
