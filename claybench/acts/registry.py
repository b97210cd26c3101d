"""Every act that has a command, in the order of a test's life."""

from __future__ import annotations

from claybench.acts.declare import Act
from claybench.acts.layers import LIFT, POUR, TOUCH
from claybench.acts.pieces import FIRE, FORM, MEASURE, READING
from claybench.acts.points import POINT
from claybench.acts.pours import POUR_STEP
from claybench.acts.recipes import BATCH, BATCH_EVENT, BODY, FAMILY, LOT, MATERIAL, RECIPE
from claybench.acts.seen import CLAY_FAULT, END, FAULT, PHOTO
from claybench.acts.slabs import AIR, EVENT, SLAB, WEIGH
from claybench.acts.weighing import WATER_IN, WEIGH_IN

ACTS: tuple[Act, ...] = (
    FAMILY,
    MATERIAL,
    LOT,
    BODY,
    RECIPE,
    BATCH,
    WEIGH_IN,
    WATER_IN,
    BATCH_EVENT,
    POINT,
    POUR_STEP,
    SLAB,
    WEIGH,
    EVENT,
    AIR,
    POUR,
    TOUCH,
    LIFT,
    CLAY_FAULT,
    FORM,
    MEASURE,
    READING,
    FIRE,
    FAULT,
    END,
    PHOTO,
)
