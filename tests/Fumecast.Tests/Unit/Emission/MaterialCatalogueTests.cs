// SPDX-License-Identifier: MIT
using Fumecast.Emission;
using Fumecast.Inputs;
using Fumecast.Uncertainty;

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

    // Emissions reference, 9b: "other carbon fibre", the middle of the base, its spread half as wide again in logarithms.
    [Theory]
    [InlineData("ABS-CF", "abs")]
    [InlineData("petg cf", "petg")]
    [InlineData("PA-GF", "pa6")]
    public void A_filled_kind_has_the_middle_of_the_plain_one_and_a_wider_spread(string word, string plain)
    {
        var catalogue = new MaterialCatalogue();
        var (filled, of) = (catalogue.Load(word).NumberYieldPerG, catalogue.Load(plain).NumberYieldPerG);
        Assert.Equal(of.Value, filled.Value);
        Close.To(1.5 * Math.Log(of.Gsd!.Value), Math.Log(filled.Gsd!.Value), 1e-12);
        Assert.Equal("C", filled.Origin.Grade);
        Assert.Equal(catalogue.Load(plain).TvocYieldUgPerG.Gsd, catalogue.Load(word).TvocYieldUgPerG.Gsd);
    }

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
    [InlineData("Tough PLA")]
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
    [InlineData("    where: \"Table 2, rounded; joined from more than one table\"\n", "", "key 'where' is missing, expected a text")]
    public void A_wrong_file_is_refused_with_the_reason(string find, string replace, string expected)
    {
        Assert.Contains(find, Abs(t => t), StringComparison.Ordinal);
        Assert.Contains(expected, ProblemOf(t => t.Replace(find, replace)), StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("flow_exponent: { value: 1 }", "my.yaml:91:18: flow_exponent: this rule was replaced; give 'nozzle_share' instead")]
    [InlineData("flow_exponent_case: { value: 1 }", "flow_exponent_case: this rule was replaced; give 'nozzle_share' instead")]
    [InlineData("burst_size: { value: 8 }", "burst_size: this rule was replaced; give 'start_dose' instead, with the same value")]
    [InlineData("burst_decay: { value: 6 min }", "burst_decay: this rule was replaced; give 'start_dose_decay' instead")]
    [InlineData("idle_share: { value: 0.2 }", "idle_share: this rule was replaced; give 'nozzle_share' instead")]
    [InlineData("nozzle_shear: { value: 0.2 }", "unknown key 'nozzle_shear'; did you mean 'nozzle_share'?")]
    [InlineData("nozzle_share: { value: 1.2 }", "value: found '1.2', expected 0 to 1")]
    [InlineData("tvoc_nozzle_share: { value: 0.5, range: [0, 1.1] }", "range: found '1.1', expected 0 to 1")]
    [InlineData("start_dose: { value: 8 s }", "value: found '8 s' ('s' belongs to a time), expected a plain number such as 1.5, without a unit")]
    [InlineData("start_dose_decay: { value: 0.5 s }", "value: found '0.5 s', expected 1 s to 86400 s")]
    public void A_wrong_rule_is_refused_with_the_reason(string rule, string expected) =>
        Assert.Contains(expected, ProblemOf(t => t.Replace("also_found:", $"rules:\n  {rule}\nalso_found:")), StringComparison.Ordinal);

    private static string WithReplay(string text, string figures, string replay) =>
        text + $"  - {{quantity: x, {figures}, source: KIM2015, where: here, known: read, replay: {replay}}}\n";

    [Theory]
    [InlineData("value: 1e9 1/min", "{agent: particle_number, nozzle: 230 degC, mass_rate: 5 g/h, time: 90 min}", false, 230.0, 5.0, 5400, "value=1000000000")]
    [InlineData("value: 2e9 1/g, low: 1e9 1/g, high: 3e9 1/g", "{agent: particle_number}", true, null, null, 7200, "value=2000000000")]
    [InlineData("low: 60 ug/h, high: 2 ug/min", "{agent: styrene}", false, null, null, 7200, "low=1;high=2")]
    [InlineData("high: 25 ug/g", "{agent: tvoc}", true, null, null, 7200, "high=25")]
    public void An_observation_may_be_replayed_with_its_own_figures(
        string figures, string replay, bool isYield, double? nozzleC, double? gPerH, double durationS, string points)
    {
        var read = Catalogue.Read(new DataFile("my.yaml", Abs(t => WithReplay(t, figures, replay)))).Observations[^1].Replay!;

        Assert.Equal((isYield, nozzleC, gPerH, durationS), (read.IsYield, read.NozzleC, read.MassRateGPerH, read.DurationS));
        Assert.Equal(points, string.Join(';', read.Points.Select(p => FormattableString.Invariant($"{p.Key}={p.Published}"))));
    }

    [Theory]
    [InlineData("value: 5 ug/g", "{agent: styrin}", "agent: found 'styrin', which this file gives no figure for; did you mean 'styrene'?")]
    [InlineData("value: 5 ug/g", "{agent: lactide}", "agent: found 'lactide', which this file gives no figure for; known: particle_number, particle_mass, tvoc, styrene, ")]
    [InlineData("value: 5 ppb", "{agent: tvoc}", "value: found '5 ppb', expected an emission rate in ug/min, ug/h")]
    [InlineData("value: small", "{agent: particle_number}", "value: found 'small', expected a particle rate such as 1e10 1/min")]
    [InlineData("low: 5 ug/g, high: 6 ug/h", "{agent: tvoc}", "high: found '6 ug/h' ('ug/h' belongs to an emission rate), expected a mass yield in ug/g")]
    [InlineData("value: 0 1/g", "{agent: particle_number}", "value: found 0, expected more than that, since nothing can be compared with it; remove 'replay'")]
    [InlineData("value: 5 1/g", "{agent: particle_number, nozzle: 230}", "nozzle: found '230' without a unit, expected a temperature such as 210 degC")]
    [InlineData("value: 5 1/g", "{agent: particle_number, mass_rate: 0 g/h}", "mass_rate: found '0 g/h', expected 0.01 g/h to 10000 g/h")]
    [InlineData("value: 5 1/g", "{agent: particle_number, time: 2 d}", "time: found '2 d', expected 60 s to 86400 s")]
    [InlineData("value: 5 1/g", "{agent: particle_number, duration: 2 h}", "unknown key 'duration'")]
    [InlineData("value: 5 1/g", "{nozzle: 230 degC}", "key 'agent' is missing, expected a text")]
    [InlineData("value: 5 1/g", "particle_number", "replay: found 'particle_number', expected a map of keys and values")]
    public void A_wrong_replay_is_refused_with_the_reason(string figures, string replay, string expected)
    {
        var problem = ProblemOf(t => WithReplay(t, figures, replay));

        Assert.Contains(expected, problem, StringComparison.Ordinal);
        Assert.Matches("^my.yaml:[0-9]+:[0-9]+: ", problem);
    }

    [Fact]
    public void Spreads_and_grades_are_those_of_the_second_reading()
    {
        Assert.Equal((20, "B", 4, "B"), Spread("abs"));
        Assert.Equal((25, "B", 4, "B"), Spread("pla"));
        Assert.Equal((20, "B", 6, "B"), Spread("petg"));
        Assert.Equal((30, "D", 4, "D"), Spread("pva"));
        Assert.Equal((50, "D", 6, "D"), Spread("peek"));

        static (double?, string, double?, string) Spread(string id)
        {
            var m = Catalogue.Load(id);
            return (m.NumberYieldPerG.Gsd, m.NumberYieldPerG.Origin.Grade, m.TvocYieldUgPerG.Gsd, m.TvocYieldUgPerG.Origin.Grade);
        }
    }

    [Theory]
    [InlineData("tpu")]
    [InlineData("pa12")]
    [InlineData("pc")]
    [InlineData("pva")]
    [InlineData("pp")]
    [InlineData("pei")]
    [InlineData("peek")]
    public void A_material_without_a_figure_takes_the_middle_of_any_filament_with_the_worst_grade(string id)
    {
        var tvoc = Catalogue.Load(id).TvocYieldUgPerG;

        // 200-1000 ug/h is the middle half of 58 tests: their geometric middle, at 6.3 g/h, to one digit.
        Close.To(Math.Sqrt(200 * 1000) / 6.3, tvoc.Value, 0.02);
        Assert.Equal(("D", FigureKnown.Assumed), (tvoc.Origin.Grade, tvoc.Origin.Known));
    }

    [Theory]
    [InlineData("hips", true)]
    [InlineData("tpu", true)]
    [InlineData("pa6", false)]
    [InlineData("pa66", false)]
    [InlineData("pa12", true)]
    public void What_was_placed_by_judgement_says_assumed(string id, bool tvocToo)
    {
        var material = Catalogue.Load(id);

        Assert.Equal(FigureKnown.Assumed, material.NumberYieldPerG.Origin.Known);
        Assert.Equal(tvocToo, material.TvocYieldUgPerG.Origin.Known == FigureKnown.Assumed);
    }

    [Theory]
    [InlineData(0.3, 0, 0.9, 3, 1)]
    [InlineData(0.3, 0, 0.9, -3, 0)]
    [InlineData(0.6, 0.2, 1, 2.5, 1)]
    public void A_share_never_leaves_0_to_1(double value, double low, double high, double z, double expected)
    {
        var figure = Catalogue.Load("abs").Rules.NozzleShare with { Value = value, Range = (low, high) };

        Assert.Equal(expected, figure.At(z));
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
