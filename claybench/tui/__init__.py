"""The notebook on the screen. Only this package imports textual; from outside, `main` is asked for, and loads when it is."""

from typing import TYPE_CHECKING

from claybench.later import modules_of

if TYPE_CHECKING:
    from claybench.tui import (
        app as app,
        bench as bench,
        bodies as bodies,
        book as book,
        cached_stylesheet as cached_stylesheet,
        caution_text as caution_text,
        charts as charts,
        display_text as display_text,
        documents as documents,
        drafts as drafts,
        find_box as find_box,
        foot as foot,
        forms as forms,
        help_screen as help_screen,
        key_queue as key_queue,
        keys as keys,
        lab_app as lab_app,
        list_place as list_place,
        main as main,
        mix as mix,
        notebook as notebook,
        pieces as pieces,
        place as place,
        plain_table as plain_table,
        plan as plan,
        printing as printing,
        question_screen as question_screen,
        registry as registry,
        row_lines as row_lines,
        row_order as row_order,
        slabs as slabs,
        table_import as table_import,
        table_view as table_view,
        text_field as text_field,
        text_screen as text_screen,
        touch_keys as touch_keys,
        undoing as undoing,
        unstyled_filter as unstyled_filter,
    )
else:
    __getattr__ = modules_of(__name__)
