"""Materials whose dust is what hurts, by the fine silica in it or not at all; some let gases go in a kiln.

They are named so that nobody is asked what they are. All from memory, entry by entry.
"""

from __future__ import annotations

from claybench.facts import air_limits as limit
from claybench.facts.substance import Substance

SILICA = (
    Substance(
        "clay",
        "clay, kaolin, kaolinite, china clay, ball clay, fireclay, fire clay, bentonite, montmorillonite, "
        "hectorite, illite, halloysite, terracotta, terra cotta, earthenware, stoneware, porcelain, marl, "
        "loam, loess, shale, mud, silt, laterite, slip, body, raku, terra sigillata, smectite, attapulgite, "
        "sepiolite",
        leaves=("clay_gases",),
        silica=True,
    ),
    Substance(
        "paper_clay",
        "paper clay, paperclay",
        leaves=(
            "clay_gases",
            "organics",
        ),
        silica=True,
    ),
    Substance(
        "cornish_stone",
        "cornish stone, cornwall stone, china stone, lepidolite",
        leaves=("fluorine",),
        silica=True,
    ),
    Substance(
        "silica",
        "silica, quartz, flint, sand, silica sand, sio2, grog, chamotte, molochite, pitchers, cristobalite, tridymite, "
        "ganister, silica flour, diatomite, diatomaceous earth, feldspar, felspar, potash feldspar, soda "
        "feldspar, orthoclase, albite, microcline, anorthite, pegmatite, nepheline, nepheline syenite, "
        "syenite, aplite, petalite, spodumene, granite, basalt, pumice, volcanic ash, perlite, kyanite, "
        "pyrophyllite, mica, sericite, vermiculite, sandstone, brick, rhyolite, olivine sand, tuff, gravel",
        silica=True,
    ),
)

ONLY_DUST = (
    Substance(
        "barium_sulphate",
        "barium sulphate, baryte, barytes, barite, heavy spar, blanc fixe, baso4",
        hazard="hardly dissolves and is not the poison that barium carbonate is; its dust is a nuisance",
        care="no dust",
        classified="excepted from barium salts 056-002-00-7",
        limits=(limit.BARIUM_SULPHATE,),
        leaves=("sulphur",),
    ),
    Substance(
        "carbonate",
        "whiting, limestone, lime stone, chalk, marble, calcite, calcium carbonate, caco3, dolomite, "
        "magnesite, magnesium carbonate, mgco3, strontium carbonate, srco3, aragonite, mag carb, siderite, "
        "lime carbonate, carbonate of lime, mag carbonate, calcium carb, strontium carb, shell, oyster shell, "
        "egg shell, eggshell",
        leaves=("carbonates",),
    ),
    Substance(
        "bicarbonate",
        "baking soda, sodium bicarbonate, bicarbonate of soda, bicarb, nahco3",
        leaves=("carbonates",),
    ),
    Substance(
        "sulphates",
        "gypsum, plaster, plaster of paris, calcium sulphate, caso4, epsom salt, epsom salts, magnesium "
        "sulphate, mgso4, alum, aluminium sulphate, sodium sulphate, na2so4, potassium sulphate, k2so4, strontium "
        "sulphate, srso4, celestine, celestite, pyrite, pyrites, fes2, iron sulphide, sulphur, jarosite, selenite, "
        "alabaster",
        leaves=("sulphur",),
    ),
    Substance(
        "chlorides",
        "table salt, kitchen salt, common salt, cooking salt, rock salt, sea salt, road salt, sodium chloride, nacl, "
        "calcium chloride, cacl2, magnesium chloride, mgcl2, potassium chloride, kcl",
        leaves=("chlorine",),
    ),
    Substance(
        "organics",
        "sawdust, saw dust, paper, paper pulp, cmc, cellulose, methyl cellulose, gum, gum arabic, starch, "
        "wheat flour, rye flour, rice flour, corn flour, cornflour, bread flour, wax, dextrin, dextrine, "
        "straw, coffee, nylon, nylon fibre, dung, manure, lignite, coal, charcoal, graphite, black lead, "
        "pencil lead, plumbago, carbon, peat, tannin, molasses, sugar, glycol, glycerin, vinegar, polymer, "
        "lignin, humate, sodium humate, rice husk, walnut shell, wood flour, starches",
        leaves=("organics",),
    ),
    Substance(
        "harmless",
        "zirconium silicate, zirconium silicates, zircon, zircon sand, zirconia, zirconium oxide, zro2, "
        "zrsio4, zirconium, alumina, aluminium oxide, aluminium hydrate, alumina hydrate, aluminium "
        "hydroxide, corundum, al2o3, mullite, wollastonite, calcium silicate, tin oxide, sno2, titanium "
        "dioxide, titania, titanium, tio2, rutile, ilmenite, iron oxide, red iron oxide, black iron oxide, "
        "yellow iron oxide, ferric oxide, fe2o3, fe3o4, ochre, yellow ochre, sienna, haematite, hematite, "
        "magnetite, red iron, iron, magnesia, magnesium oxide, mgo, silica gel, fumed silica, fused silica, "
        "water, praseodymium, bone ash, silicon carbide, glass, cullet, calcium phosphate, tricalcium phosphate, "
        "aluminium phosphate, sodium phosphate, polyphosphate, polyphosphates, hexametaphosphate",
    ),
)

PARTS = (
    Substance("any_carbonate", "carbonate", leaves=("carbonates",), part=True),
    Substance("any_sulphate", "sulphate, sulphide", leaves=("sulphur",), part=True),
    Substance("any_chloride", "chloride", leaves=("chlorine",), part=True),
    Substance("any_phosphate", "phosphate", part=True),
)
"""Halves of names: what leaves a kiln follows from them, and what the material is does not."""
