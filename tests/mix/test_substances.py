"""Substances by the names people type, their limits in air, what leaves them in a kiln."""

from __future__ import annotations

import pytest

from claybench.facts import air_limits
from claybench.facts.fact import Fact, Origin
from claybench.facts.substance import LEAVING
from claybench.facts.substances import SUBSTANCES
from claybench.mix.material_cautions import (
    MaterialCare,
    firing_cautions,
    handling_cautions,
    label_texts,
)
from claybench.mix.substances import identify, identities, is_named


# Invented names as potters write them on buckets; what each must bring, and nothing else.
@pytest.mark.parametrize(
    ("name", "keys"),
    [
        # hits: names, minerals, formulas, spellings, slips
        ("LITHARGE (old tin!)", "lead"),
        ("galena, ground", "lead"),
        ("Minium / red-lead", "lead"),
        ("2PbCO3·Pb(OH)2", "lead"),
        ("Pb bisilicate", "lead"),
        ("barium carb.", "barium"),
        ("BaCO₃ tech", "barium"),
        ("manganeese dioxide", "manganese"),
        ("MnO2 -200 mesh", "manganese"),
        ("pyrolusite", "manganese"),
        ("burnt_umber", "manganese"),
        ("Vanadium Pentoxide", "vanadium"),
        ("chromite sand", "chromium silica"),
        ("pot. bichromate", "chromium_vi"),
        ("Cobaltous carbonate", "cobalt any_carbonate"),
        ("nickle oxide, green", "nickel"),
        ("Sb2O3", "antimony"),
        ("white arsenic", "arsenic"),
        ("Cd/Se red", "cadmium"),
        ("selenium", "selenium"),
        ("uranium yellow", "uranium"),
        ("beryl powder", "beryllium"),
        ("lythium carbonate", "lithium any_carbonate"),
        ("flourspar", "fluoride"),
        ("Borax, 10 mol", "boron"),
        ("French chalk", "talc"),
        ("quick-lime", "quicklime"),
        ("Portland cement", "cement"),
        ("Caustic Soda pearls", "caustic_alkali"),
        ("refractory ceramic fiber", "ceramic_fibre"),
        ("Quartz 10 µm", "silica"),
        ("Naples Yellow", "lead antimony"),
        ("copper sulfate", "copper any_sulphate"),
        # what is bound, said honestly beside the metal
        ("lead bisilicate frit", "lead frit"),
        ("cobalt blue stain", "cobalt stain"),
        # false hits
        ("lead-free frit", "frit"),
        ("Frit, free of lead", "frit"),
        ("chrome-free green stain", "stain"),
        ("lead and cadmium free glaze", "frit"),
        ("no lead or cadmium", ""),
        ("unleaded", ""),
        ("Leadville pit", ""),
        ("zirconium silicate", "harmless"),
        ("barium sulphate", "barium_sulphate"),
        ("Barytes", "barium_sulphate"),
        ("soda feldspar", "silica"),
        ("as received", ""),
        ("bone ash", "harmless"),
        ("paper clay", "paper_clay"),
        ("Co. No. 7", ""),
        ("Pb-free frit", "frit"),
        ("black lead", "organics"),
        ("zircon flour", "harmless"),
        ("salt", "chlorides"),
        ("zinc chloride", "metal_chloride"),
        ("leaded glass frit", "lead frit harmless"),
        ("Cr(VI)", "chromium_vi"),
        ("light mag carbonate", "carbonate"),
        # other languages, by whole words
        ("carbonate de plomb", "lead any_carbonate"),
        ("Kupferoxid", "copper"),
        ("sulfate de cuivre", "copper any_sulphate"),
        ("carbonato de bario", "barium any_carbonate"),
        ("Braunstein", "manganese"),
        ("copperas", "iron_sulphate"),
        # nobody can tell
        ("black stuff #7", ""),
        ("lime", ""),
    ],
)
def test_a_name_brings_what_is_in_it_and_no_more(name: str, keys: str) -> None:
    assert {each.key for each in identify(name).substances} == set(keys.split())


# Invented: the metal misspelt, in another language or not of this table, beside a word that is known.
@pytest.mark.parametrize(
    "name",
    [
        "barum carbonate",
        "coper carbonate",
        "carbonate de quelque chose",
        "thallium carbonate",
        "mercuric chloride",
        "gold salt",
        "grey phosphate",
        "sulphate",
    ],
)
def test_half_a_name_is_not_taken_for_harmless(name: str) -> None:
    assert not is_named(name, None)
    assert "not known here" in handling_cautions({name: MaterialCare()})[-1].text


def test_a_kind_does_not_say_what_a_carbonate_is_of() -> None:
    care = {"barum carbonate": MaterialCare("flux")}
    assert [each.key for each in handling_cautions(care)] == ["unknown"] and is_named("barum carbonate", "flux")
    assert [each.key for each in firing_cautions(care)] == ["leaves:carbonates", "unknown"]


def test_what_a_name_is_free_of_is_said_beside_what_it_may_hold() -> None:
    (frit,) = handling_cautions({"lead-free frit 3": MaterialCare()})
    assert frit.text.endswith("Its name says that it is free of lead.")
    assert "free of" not in handling_cautions({"frit 3": MaterialCare()})[0].text


def test_british_and_american_spellings_are_one() -> None:
    for one, other in (("barium sulphate", "barium sulfate"), ("ceramic fibre", "ceramic fiber")):
        assert identify(one) == identify(other) != identify("clay")


def test_a_name_is_told_by_its_kind_or_the_labs_own_words() -> None:
    assert not is_named("black stuff", None)
    assert is_named("black stuff", "clay") and is_named("dispersant 4", None)
    assert is_named("black stuff", None, "is manganese dioxide; sticky")
    assert [each.key for each in identities("black stuff", "contains lead").substances] == ["lead"]
    assert not identities("black stuff", "wear a mask; lead the hose out").substances


# 29 CFR 1910.1000, Tables Z-1 and Z-2 as amended to 2017, and the standards they name, row by row as read there: the
# substance, the limit (C marks a ceiling), the unit.
READ = {
    "ANTIMONY": (0.5, "mg/m^3"),  # Antimony and compounds (as Sb)
    "BARIUM": (0.5, "mg/m^3"),  # Barium, soluble compounds (as Ba)
    "BARIUM_SULPHATE": (15, "mg/m^3"),  # Barium sulfate, total dust
    "BORON_OXIDE": (15, "mg/m^3"),  # Boron oxide, total dust
    "CALCIUM_OXIDE": (5, "mg/m^3"),  # Calcium oxide
    "CALCIUM_HYDROXIDE": (15, "mg/m^3"),  # Calcium hydroxide, total dust
    "CHROMIUM_III": (0.5, "mg/m^3"),  # Chromium (III) compounds (as Cr)
    "COBALT": (0.1, "mg/m^3"),  # Cobalt metal, dust, and fume (as Co)
    "COPPER_DUST": (1, "mg/m^3"),  # Copper, dusts and mists (as Cu)
    "COPPER_FUME": (0.1, "mg/m^3"),  # Copper, fume (as Cu)
    "FLUORIDES": (2.5, "mg/m^3"),  # Fluorides (as F)
    "MANGANESE_CEILING": (5, "mg/m^3"),  # (C) Manganese compounds (as Mn)
    "NICKEL": (1, "mg/m^3"),  # Nickel, metal and insoluble compounds (as Ni)
    "PORTLAND_CEMENT": (5, "mg/m^3"),  # Portland cement, respirable fraction
    "SELENIUM": (0.2, "mg/m^3"),  # Selenium compounds (as Se)
    "SODIUM_HYDROXIDE": (2, "mg/m^3"),  # Sodium hydroxide
    "URANIUM": (0.25, "mg/m^3"),  # Uranium, insoluble compounds (as U)
    "VANADIUM_DUST": (0.5, "mg/m^3"),  # (C) Vanadium, respirable dust (as V2O5)
    "VANADIUM_FUME": (0.1, "mg/m^3"),  # (C) Vanadium, fume (as V2O5)
    "ZINC_FUME": (5, "mg/m^3"),  # Zinc oxide fume
    "DUST_TOTAL": (15, "mg/m^3"),  # Particulates not otherwise regulated, total dust
    "DUST_RESPIRABLE": (5, "mg/m^3"),  # the same, respirable fraction
    "CARBON_MONOXIDE": (50, "ppm"),  # Carbon monoxide
    "CARBON_DIOXIDE": (5000, "ppm"),  # Carbon dioxide
    "SULPHUR_DIOXIDE": (5, "ppm"),  # Sulfur dioxide
    "HYDROGEN_FLUORIDE": (3, "ppm"),  # Table Z-2, Hydrogen fluoride
    "HYDROGEN_CHLORIDE": (5, "ppm"),  # (C) Hydrogen chloride
    "LEAD": (50, "ug/m^3"),  # 1910.1025(c)(1)
    "ARSENIC": (10, "ug/m^3"),  # 1910.1018(c)
    "CHROMIUM_VI": (5, "ug/m^3"),  # 1910.1026(c)
    "CADMIUM": (5, "ug/m^3"),  # 1910.1027(c)
    "BERYLLIUM": (0.2, "ug/m^3"),  # 1910.1024(c)(1)
}


def test_every_limit_stands_as_it_was_read() -> None:
    read = {
        name: (fact.value, fact.unit)
        for name, fact in vars(air_limits).items()
        if isinstance(fact, Fact) and fact.cited.startswith("29 CFR") and name != "SILICA_ACTION"
    }
    assert read == READ
    # OSHA's sampling page for manganese compounds: NIOSH REL 1 mg/m³. 29 CFR 1910.1053(b): action level 25 µg/m³.
    assert (air_limits.MANGANESE_NIOSH.value, air_limits.SILICA_ACTION.value) == (1, 25)


def test_every_entry_says_how_it_is_known() -> None:
    keys = [each.key for each in SUBSTANCES]
    assert len(set(keys)) == len(keys)
    for each in SUBSTANCES:
        assert each.origin is Origin.FROM_MEMORY
        assert set(each.leaves) <= LEAVING.keys()
        assert bool(each.hazard) >= bool(each.care)
        for name in each.names:
            assert each in identify(name).substances, name
    for caution in handling_cautions({"litharge": MaterialCare(), "borax": MaterialCare()}):
        assert caution.source.startswith("from memory") and caution.line().endswith(")")


def test_the_labs_own_words_come_first_and_silence_nothing() -> None:
    care = {"litharge": MaterialCare("colourant", "dusty"), "minium": MaterialCare(), "flint": MaterialCare("filler")}
    found = handling_cautions({**care, "mystery 9": MaterialCare("other"), "pit": MaterialCare("clay")})
    assert [each.key for each in found] == ["own:litharge", "lead", "silica", "unknown"]
    assert "litharge, minium: lead harms" in found[1].text and "§ 1910.1025(c)(1)" in found[1].line()
    assert found[3].text.startswith("mystery 9:")
    assert "safety data sheet" in found[3].text
    assert not handling_cautions({"zircon": MaterialCare(), "rutile": MaterialCare("colourant")})


def test_a_stain_or_frit_is_said_to_bind_its_metal() -> None:
    (cobalt, stain) = handling_cautions({"cobalt blue stain": MaterialCare()})
    assert "it is bound" in cobalt.text and "safety data sheet" in stain.text
    assert "it is bound" not in handling_cautions({"cobalt oxide": MaterialCare()})[0].text
    assert "not the poison" in handling_cautions({"barytes": MaterialCare()})[0].text


@pytest.mark.parametrize(
    ("name", "kind", "leaves"),
    [
        ("whiting", None, "carbon dioxide"),
        ("gypsum", None, "sulphur dioxide"),
        ("fluorspar", None, "hydrogen fluoride"),
        ("Cornish stone", None, "hydrogen fluoride"),
        ("sawdust", None, "carbon monoxide"),
        ("rock salt", None, "hydrogen chloride"),
        ("litharge", None, "lead"),
        ("manganese dioxide", None, "manganese"),
        ("pit 7", "clay", "steam"),
        ("mystery 9", None, "not known here"),
    ],
)
def test_what_leaves_in_a_kiln_follows_from_what_is_in_it(name: str, kind: str | None, leaves: str) -> None:
    found = firing_cautions({name: MaterialCare(kind), "alumina": MaterialCare()})
    assert len(found) == 1 and leaves in found[0].text and name in found[0].text


def test_a_label_says_each_thing_once_and_short() -> None:
    texts = label_texts({"litharge": MaterialCare(caution="x"), "red lead": MaterialCare(), "sand": MaterialCare()})
    assert texts[0] == "x" and texts[1].startswith("lead harms") and len(texts) == 3
