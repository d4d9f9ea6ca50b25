// SPDX-License-Identifier: MIT
using Fumecast.Emission;
using Fumecast.Inputs;

namespace Fumecast.Tests.Unit.Emission;

public class MaterialCatalogueTests
{
    private static readonly MaterialCatalogue Catalogue = PrintedJob.Catalogue;

    public static TheoryData<string> Ids => [.. Catalogue.Ids];

    [Fact]
    public void All_materials_of_the_table_are_shipped() => Assert.Equal(
        ["abs", "asa", "hips", "pa12", "pa6", "pa66", "pc", "peek", "pei", "petg", "pla", "pla-carbon-fibre", "pla-metal", "pla-wood", "pp", "pva", "tpu"],
        Catalogue.Ids);

    [Theory]
    [MemberData(nameof(Ids))]
    public void A_shipped_material_loads_and_names_only_sources_that_exist(string id)
    {
        var material = Catalogue.Load(id);

        Assert.Equal(id, material.Id);
        Catalogue.CheckSources(material);
        Assert.All(material.Figures(), f => Assert.NotEmpty(f.Figure.Origin.Sources));
    }

    [Theory]
    [MemberData(nameof(Ids))]
    public void Grades_C_and_D_say_why_and_recalled_figures_are_no_better_than_C(string id) =>
        Assert.All(Catalogue.Load(id).Figures(), f =>
        {
            Assert.True(f.Figure.Origin.Grade is "A" or "B" || f.Figure.Origin.Why is not null, f.Name);
            Assert.True(f.Figure.Origin.Known is not (FigureKnown.Memory or FigureKnown.Assumed) || f.Figure.Origin.Grade is "C" or "D", f.Name);
        });

    [Fact]
    public void Every_listed_source_is_used()
    {
        var used = Catalogue.Ids.SelectMany(id => MaterialCatalogue.UsedSources(Catalogue.Load(id))).Concat(Catalogue.CommonObservations.Select(o => o.Source));

        Assert.Empty(Catalogue.SharedSources.Keys.Except(used));
    }

    [Fact]
    public void Common_observations_name_only_sources_that_exist() =>
        Assert.All(Catalogue.CommonObservations, o => Assert.Contains(o.Source, Catalogue.SharedSources.Keys));

    [Theory]
    [InlineData("PLA", "pla")]
    [InlineData("pla+", "pla")]
    [InlineData("Generic ABS", "abs")]
    [InlineData("Generic PLA Silk @0.4 nozzle", "pla")]
    [InlineData("PLA-CF", "pla-carbon-fibre")]
    [InlineData("wood PLA", "pla-wood")]
    [InlineData("NYLON", "pa6")]
    [InlineData("PA", "pa6")]
    [InlineData("PA12-CF", "pa12")]
    [InlineData("FLEX", "tpu")]
    [InlineData("TPE", "tpu")]
    [InlineData("PET", "petg")]
    [InlineData("PETG", "petg")]
    [InlineData("pet-g", "petg")]
    [InlineData("PC-ABS", "abs")]
    [InlineData("peek", "peek")]
    [InlineData("unknown", null)]
    [InlineData("plastic", null)]
    [InlineData("", null)]
    [InlineData("+;-", null)]
    public void Words_of_comments_lead_to_a_material(string word, string? id) => Assert.Equal(id, Catalogue.IdForWord(word));

    [Theory]
    [InlineData("NYLON")]
    [InlineData("PET")]
    [InlineData("TPE")]
    [InlineData("PLA-METAL")]
    public void A_word_that_leaves_something_open_says_what(string word) => Assert.False(string.IsNullOrEmpty(Catalogue.ForWord(word)!.Note));

    [Fact]
    public void A_very_long_word_is_cut_and_not_searched() => Assert.Null(Catalogue.IdForWord(new string('-', 10_000_000)));

    [Fact]
    public void Every_word_leads_to_a_material_that_exists_and_every_material_has_a_word()
    {
        var words = MaterialWords.Read(new DataCatalogue(typeof(Material).Assembly, "materials", null).Find("words"));

        Assert.Equal(Catalogue.Ids.Order(), words.Ids.Order());
    }

    [Fact]
    public void An_unknown_material_offers_the_nearest() =>
        Assert.StartsWith("found no material 'aba'; did you mean 'abs'?", Assert.Throws<InputProblem>(() => Catalogue.Load("aba")).Message, StringComparison.Ordinal);

    private static string Abs(Func<string, string> change) => change(new DataCatalogue(typeof(Material).Assembly, "materials", null).Find("abs").Text);

    private static string ProblemOf(Func<string, string> change) =>
        Assert.Throws<InputProblem>(() => Catalogue.Read(new DataFile("my.yaml", Abs(change)))).Message;

    [Fact]
    public void A_users_own_file_may_override_a_rule()
    {
        var material = Catalogue.Read(new DataFile("my.yaml", Abs(t => t.Replace(
            "also_found:",
            "rules:\n  nozzle_share: { value: 0.5, source: MINE, where: log of 3 May, known: read, grade: B }\nsources:\n  MINE: { citation: own measurement, known: measured }\nalso_found:"))));

        Assert.Equal(0.5, material.Rules.NozzleShare.Value);
        Assert.Equal(0.066, material.Rules.NumberSlopePerK.Value);
        Assert.Equal("own measurement", Catalogue.SourcesOf(["MINE", "KIM2015", "MINE"], [material])[0].Citation);
        Assert.Equal(2, Catalogue.SourcesOf(["MINE", "KIM2015", "MINE"], [material]).Count);
    }

    [Theory]
    [InlineData("id: abs", "id: My ABS", "my.yaml:3:5: id: found 'My ABS', expected small letters, digits and dashes")]
    [InlineData("fumecast/material/1", "fumecast/material/9", "my.yaml:2:9: schema: found 'fumecast/material/9', expected 'fumecast/material/1'")]
    [InlineData("value: 1.04 g/cm3", "value: 1.2 g/cm3", "my.yaml:8:12: value: found 1.2 g/cm3, which lies outside its range")]
    [InlineData("cas: 100-42-5", "cas: 100-42-6", "which is no CAS registry number: its check digit must fit")]
    [InlineData("    gsd: 20\n", "    gsd: 20\n    range: [1 1/g, 1e12 1/g]\n", "gsd: found beside a range, expected one of them; remove the other")]
    [InlineData("    at: 240 degC\n    gsd: 20", "    gsd: 20", "key 'at' is missing, expected a temperature such as 210 degC")]
    [InlineData("source: FT2020", "source: FT2021", "my.yaml: source 'FT2021' is used but not listed; add it under 'sources' with its citation; did you mean 'FT2020'?")]
    [InlineData("    grade: C\n    why: recalled; the spool may state its own\n", "    grade: C\n", "grade C needs a reason; add 'why'")]
    [InlineData("    grade: B\n", "    grade: E\n", "grade: found 'E', expected A, B, C or D")]
    [InlineData("known: memory", "known: heard", "known: found 'heard', expected one of read, derived, memory, assumed")]
    [InlineData("    where: \"Table 2, rounded\"\n", "", "key 'where' is missing, expected a text")]
    public void A_wrong_file_is_refused_with_the_reason(string find, string replace, string expected)
    {
        Assert.Contains(find, Abs(t => t), StringComparison.Ordinal);
        Assert.Contains(expected, ProblemOf(t => t.Replace(find, replace)), StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("100-42-5", true)]
    [InlineData("7732-18-5", true)]
    [InlineData("100-42-4", false)]
    [InlineData("1-42-5", false)]
    [InlineData("styrene", false)]
    [InlineData("", false)]
    public void A_CAS_number_has_a_fitting_check_digit(string text, bool isCas) => Assert.Equal(isCas, MaterialFile.IsCas(text));
}
