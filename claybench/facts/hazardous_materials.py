"""Substances that hurt by more than their dust, the worst first: metals, fluxes and alkalis, mixtures without a recipe.

What they do is written from memory, entry by entry, and so are the classes of the CLP Regulation (EC) 1272/2008,
Annex VI, Table 3, whose text was not at hand; limits in air were read, and each says where (`facts.air_limits`).
"""

from __future__ import annotations

from claybench.facts import air_limits as limit
from claybench.facts.substance import Substance

_TOXIC = "no dust, no bare hands, nothing near food"

METALS = (
    Substance(
        "lead",
        "lead, litharge, lithrage, galena, lead glance, minium, red lead, white lead, lead oxide, "
        "cerussite, lead bisilicate, lead sesquisilicate, lead monosilicate, lead chromate, "
        "massicot, naples yellow, chrome yellow, pbo, pbo2, pb3o4, pbs, pbco3, pbcro4, plumbic, leaded, "
        "blei, bleioxid, bleiweiss, mennige, plomb, plomo, piombo",
        hazard="harms the unborn child, nerves, blood and kidneys",
        care=f"{_TOXIC}; wash before eating",
        classified="lead compounds 082-001-00-6: Repr. 1A, Acute Tox. 4, STOT RE 2",
        limits=(limit.LEAD,),
        leaves=("lead_fume",),
        metal=True,
        symbol="Pb",
    ),
    Substance(
        "cadmium",
        "cadmium, cadmium sulphoselenide, cadmium selenide, cadmium oxide, cds, cdse, kadmium, cadmio",
        hazard="causes cancer and harms kidneys and bones",
        care=_TOXIC,
        classified="cadmium oxide 048-002-00-0 and sulphide 048-010-00-4: Carc. 1B, STOT RE 1; sulphoselenide "
        "is excepted",
        limits=(limit.CADMIUM,),
        leaves=("cadmium_fume",),
        metal=True,
        symbol="Cd",
    ),
    Substance(
        "arsenic",
        "arsenic, arsenic oxide, white arsenic, arsenious oxide, orpiment, realgar, as2o3, arsenopyrite, "
        "copper arsenite, arsen, arsenik",
        hazard="is a deadly poison and causes cancer",
        care=_TOXIC,
        classified="arsenic trioxide 033-003-00-0: Carc. 1A, Acute Tox. 2, Skin Corr. 1B",
        limits=(limit.ARSENIC,),
        leaves=("arsenic_fume",),
        metal=True,
    ),
    Substance(
        "beryllium",
        "beryllium, beryl, beryllium oxide, beryllia, beo",
        hazard="causes lung disease and cancer as dust; in the mineral beryl it is bound, and grinding still "
        "sets dust free",
        care=f"{_TOXIC}; no dry grinding",
        classified="beryllium compounds 004-002-00-2: Carc. 1B, Acute Tox. 2, STOT RE 1; aluminium beryllium "
        "silicates are excepted",
        limits=(limit.BERYLLIUM,),
        metal=True,
    ),
    Substance(
        "uranium",
        "uranium, uranium oxide, uranyl, sodium uranate, pitchblende, uraninite, u3o8, uo2",
        hazard="poisons kidneys and is radioactive",
        care=f"{_TOXIC}; ask whether it may be held at all",
        classified="uranium compounds 092-002-00-3: Acute Tox. 2, STOT RE 2",
        limits=(limit.URANIUM,),
        metal=True,
    ),
    Substance(
        "chromium_vi",
        "dichromate, bichromate, chromate, chromic acid, potassium dichromate, potassium bichromate, chromium "
        "trioxide, lead chromate, barium chromate, chrome yellow, cro3, k2cr2o7, "
        "hexavalent chromium, chromium vi, chrome vi, cr vi",
        hazard="causes cancer, burns and makes skin allergic",
        care=_TOXIC,
        classified="chromium(VI) compounds 024-017-00-8: Carc. 1B, Skin Sens. 1",
        limits=(limit.CHROMIUM_VI,),
        leaves=("chromium_fume",),
        metal=True,
    ),
    Substance(
        "nickel",
        "nickel, nickle, nickelous, nickel oxide, nio, ni2o3, nico3, nickeloxid, nichel, niquel",
        hazard="causes lung cancer as dust and makes skin allergic",
        care=_TOXIC,
        classified="nickel monoxide 028-003-00-2: Carc. 1A, STOT RE 1, Skin Sens. 1",
        limits=(limit.NICKEL, limit.NICKEL_NIOSH),
        metal=True,
    ),
    Substance(
        "cobalt",
        "cobalt, cobolt, cobald, cobalt oxide, cobalt blue, black cobalt, "
        "smalt, zaffre, cobaltous, cobaltic, coo, co3o4, coco3, coso4, kobalt, kobaltoxid, "
        "kobaltcarbonat, cobalto",
        hazard="makes skin and airways allergic; its carbonate and sulphate can cause cancer as dust",
        care=_TOXIC,
        classified="cobalt oxide 027-002-00-4: Acute Tox. 4, Skin Sens. 1; carbonate 027-010-00-8: Carc. 1B, Repr. 1B",
        limits=(limit.COBALT,),
        metal=True,
    ),
    Substance(
        "vanadium",
        "vanadium, vanadium pentoxide, vanadium oxide, ammonium metavanadate, vanadate, v2o5",
        hazard="poisons, hurts lungs and may cause cancer",
        care=_TOXIC,
        classified="divanadium pentaoxide 023-001-00-8: Carc. 1B, Acute Tox. 2 and 3, Muta. 2, STOT RE 1",
        limits=(limit.VANADIUM_DUST,),
        leaves=("vanadium_fume",),
        metal=True,
    ),
    Substance(
        "manganese",
        "manganese, manganese dioxide, manganese oxide, pyrolusite, umber, raw umber, "
        "burnt umber, wad, psilomelane, rhodochrosite, mno, mno2, mn3o4, mnco3, mangan, manganous, manganic, "
        "braunstein, mangandioxid, manganoxid, mangancarbonat, manganeso",
        hazard="harms nerves when its dust or fume is breathed for long",
        care=_TOXIC,
        classified="manganese dioxide 025-001-00-3: Acute Tox. 4",
        limits=(limit.MANGANESE_CEILING, limit.MANGANESE_NIOSH),
        leaves=("manganese_fume",),
        metal=True,
        symbol="Mn",
    ),
    Substance(
        "antimony",
        "antimony, antimony oxide, antimony trioxide, antimonate, stibnite, naples yellow, sb2o3, sb2o5, antimon, "
        "antimoine, antimonio",
        hazard="is poisonous and may cause cancer as dust",
        care=_TOXIC,
        classified="diantimony trioxide 051-005-00-X: Carc. 2",
        limits=(limit.ANTIMONY,),
        leaves=("antimony_fume",),
        metal=True,
        symbol="Sb",
    ),
    Substance(
        "selenium",
        "selenium, sodium selenite, cadmium sulphoselenide, cadmium selenide, cdse, seo2",
        hazard="is poisonous",
        care=_TOXIC,
        classified="selenium compounds 034-002-00-8: Acute Tox. 3, STOT RE 2; sulphoselenide is excepted",
        limits=(limit.SELENIUM,),
        leaves=("selenium_fume",),
        metal=True,
    ),
    Substance(
        "barium",
        "barium, barrium, bariam, witherite, barium chromate, baco3, bacl2, bariumcarbonat, bariumkarbonat, baryum, "
        "bario",
        hazard="is poisonous when swallowed or breathed",
        care=_TOXIC,
        classified="barium carbonate 056-003-00-2: Acute Tox. 4",
        limits=(limit.BARIUM,),
        leaves=("carbonates",),
        metal=True,
        symbol="Ba",
    ),
    Substance(
        "chromium",
        "chrome, crome, chromium, chromium oxide, chrome oxide, chromite, iron chromate, chrome tin, chromic, "
        "cr2o3, fecr2o4, chrom, chromoxid, cromo",
        hazard="irritates; firing with lime or alkali can turn it into chromium(VI), which causes cancer",
        care=_TOXIC,
        limits=(limit.CHROMIUM_III,),
        leaves=("chromium_fume",),
        metal=True,
        symbol="Cr",
    ),
    Substance(
        "copper",
        "copper, copper oxide, black copper, red copper oxide, malachite, azurite, cupric, cuprous, "
        "cuo, cu2o, cuco3, cuso4, kupfer, kupferoxid, kupfercarbonat, cuivre, cobre, rame",
        hazard="is harmful when swallowed",
        care=_TOXIC,
        classified="copper(II) carbonate hydroxide 029-020-00-8: Acute Tox. 4",
        limits=(limit.COPPER_DUST,),
        leaves=("copper_fume",),
        metal=True,
    ),
    Substance(
        "zinc",
        "zinc, zinc oxide, zno",
        classified="zinc oxide 030-013-00-7: harms water life only",
        leaves=("zinc_fume",),
        metal=True,
    ),
)

FLUXES = (
    Substance(
        "lithium",
        "lithium, lythium, li2co3, lithium oxide, lithiumcarbonat, litio",
        hazard="is harmful when swallowed, irritates eyes and may harm the unborn child",
        care=_TOXIC,
        leaves=(
            "lithium_fume",
            "carbonates",
        ),
        metal=True,
    ),
    Substance(
        "fluoride",
        "fluorspar, fluorite, flourite, calcium fluoride, caf2, cryolite, na3alf6, fluoride, sodium fluoride, "
        "sodium silicofluoride",
        hazard="harms bones and teeth when breathed for long",
        care=_TOXIC,
        limits=(limit.FLUORIDES,),
        leaves=("fluorine",),
    ),
    Substance(
        "boron",
        "borax, borox, boric acid, boracic acid, boric oxide, sodium borate, disodium tetraborate, na2b4o7, "
        "h3bo3, b2o3, tincal, colemanite, ulexite, borate",
        hazard="may harm fertility and the unborn child",
        care="no dust, gloves",
        classified="disodium tetraborates 005-011-00-4 and boric acid 005-007-00-2: Repr. 1B",
        limits=(limit.BORON_OXIDE,),
        leaves=("boron_fume",),
    ),
    Substance(
        "quicklime",
        "quicklime, quick lime, burnt lime, unslaked lime, calcium oxide, cao",
        hazard="burns eyes and lungs and boils in water",
        care="goggles and gloves; add it to much water, never water to it",
        limits=(limit.CALCIUM_OXIDE,),
    ),
    Substance(
        "slaked_lime",
        "slaked lime, hydrated lime, lime putty, calcium hydroxide, lime wash, limewash",
        hazard="burns eyes and skin",
        care="goggles and gloves",
        limits=(limit.CALCIUM_HYDROXIDE,),
    ),
    Substance(
        "cement",
        "cement, portland cement, aluminous cement, high alumina cement, calcium aluminate",
        hazard="is caustic when wet and can make skin allergic",
        care="gloves and goggles; wash it off at once",
        limits=(limit.PORTLAND_CEMENT,),
    ),
    Substance(
        "caustic_alkali",
        "caustic soda, sodium hydroxide, lye, naoh, caustic potash, potassium hydroxide, koh",
        hazard="burns skin and blinds",
        care="goggles, face shield and gloves; add it to cold water little by little",
        classified="sodium hydroxide 011-002-00-6: Skin Corr. 1A",
        limits=(limit.SODIUM_HYDROXIDE,),
    ),
    Substance(
        "soda_ash",
        "soda ash, sodium carbonate, washing soda, na2co3, pearl ash, potassium carbonate, potash carbonate, "
        "k2co3, wood ash, ash, trisodium phosphate",
        hazard="is caustic",
        care="gloves and goggles",
        classified="sodium carbonate 011-005-00-2: Eye Irrit. 2",
        leaves=("carbonates",),
    ),
    Substance(
        "sodium_silicate",
        "sodium silicate, waterglass, water glass, sodium metasilicate, na2sio3, potassium silicate",
        hazard="is caustic",
        care="gloves and goggles",
    ),
    Substance(
        "talc",
        "talc, talcum, steatite, soapstone, soap stone, french chalk",
        hazard="can carry asbestos and harms lungs as dust",
        care="ask the seller whether it is free of asbestos; no dust",
    ),
    Substance(
        "asbestos",
        "asbestos, tremolite, chrysotile",
        hazard="causes cancer of the lungs",
        care="do not use it; it is banned in many countries",
        classified="asbestos 650-013-00-6: Carc. 1A, STOT RE 1",
    ),
    Substance(
        "ceramic_fibre",
        "ceramic fibre, refractory ceramic fibre, ceramic wool, rcf, kiln blanket, fibre blanket, "
        "aluminosilicate fibre, aluminosilicate wool, ceramic blanket",
        hazard="can cause cancer when its fibres are breathed; after firing it holds cristobalite, too",
        care="wet it before cutting, fitted mask, no sweeping",
        classified="refractory ceramic fibres 650-017-00-8: Carc. 1B",
    ),
    Substance(
        "bleach",
        "bleach, sodium hypochlorite",
        hazard="burns, and gives off chlorine with acids",
        care="goggles and gloves; never together with acid",
        classified="sodium hypochlorite 017-011-00-1: Skin Corr. 1B",
        leaves=("chlorine",),
    ),
    Substance(
        "acid",
        "hydrochloric acid, muriatic acid, sulphuric acid, nitric acid, hcl",
        hazard="burns skin and eyes",
        care="goggles and gloves; add acid to water, never water to acid",
        leaves=("chlorine",),
    ),
    Substance(
        "metal_chloride",
        "iron chloride, ferric chloride, ferrous chloride, fecl3, fecl2, zinc chloride, zncl2, tin chloride, stannous "
        "chloride, stannic chloride, sncl2, sncl4",
        hazard="burns eyes and skin and is harmful when swallowed",
        care="goggles and gloves",
        classified="zinc chloride 030-003-00-2: Acute Tox. 4, Skin Corr. 1B",
        leaves=("chlorine",),
    ),
    Substance(
        "iron_sulphate",
        "iron sulphate, ferrous sulphate, copperas, green vitriol, feso4",
        hazard="is harmful when swallowed and irritates eyes and skin",
        care="gloves; nothing near food",
        classified="iron(II) sulphate 026-003-00-7: Acute Tox. 4, Eye Irrit. 2, Skin Irrit. 2",
        leaves=("sulphur",),
    ),
    Substance(
        "mineral_wool",
        "mineral wool, rock wool, rockwool, stone wool, slag wool, glass wool, glass fibre, fibreglass",
        hazard="irritates skin, eyes and airways",
        care="gloves, long sleeves, fitted mask",
    ),
    Substance(
        "nitrate",
        "saltpetre, saltpeter, nitre, potassium nitrate, sodium nitrate, barium nitrate, kno3",
        hazard="feeds a fire",
        care="keep it from sawdust, paper and oil",
        leaves=("nitrogen",),
    ),
)

MIXTURES = (
    Substance(
        "frit",
        "frit, fritted, glaze",
        hazard="is what its maker melted together, at times with boron, barium or lead",
        care="read its safety data sheet",
    ),
    Substance(
        "stain",
        "stain, pigment",
        hazard="is a fired pigment, at times of chromium, cobalt, manganese, vanadium or cadmium",
        care="read its safety data sheet",
    ),
)
