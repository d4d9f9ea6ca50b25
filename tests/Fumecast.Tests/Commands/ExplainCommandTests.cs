// SPDX-License-Identifier: MIT
using System.Text.RegularExpressions;
using Fumecast.Report;

namespace Fumecast.Tests.Commands;

public sealed class ExplainCommandTests
{
    [Fact]
    public void Without_a_term_all_are_listed_with_a_line_each()
    {
        var ended = FumecastProcess.Run("explain");
        Assert.Equal((0, ""), (ended.ExitCode, ended.Error));
        foreach (var term in Explanations.All)
        {
            Assert.Contains($"\n  {term.Term} ", ended.Output);
        }
    }

    [Fact]
    public void Help_names_the_term_and_does_not_list_them_all()
    {
        Assert.Contains("explain <TERM>", InMemory.Run(["--help"]).Output);
        Assert.Contains(" explain [<TERM>...] ", InMemory.Run(["explain", "--help"]).Output);
    }

    [Theory]
    [InlineData("start dose (also:", "start", "dose")]
    [InlineData("start dose (also:", "Start-Dose")]
    [InlineData("TVOC (also:", "tvoc")]
    [InlineData("RESTS ON (also:", "rests on")]
    [InlineData("particle number (also:", "particle_number")]
    [InlineData("evenness grade (also:", "uneven")]
    [InlineData("evenness grade (also:", "short")]
    public void A_term_is_found_by_any_of_its_words(string begin, params string[] words)
    {
        var ended = FumecastProcess.Run(["explain", .. words]);
        Assert.Equal((0, ""), (ended.ExitCode, ended.Error));
        Assert.StartsWith(begin, ended.Output, StringComparison.Ordinal);
    }

    [Fact]
    public void A_term_has_its_source_and_its_neighbours()
    {
        var text = FumecastProcess.Run("explain", "sensitivity").Output;
        Assert.Contains("\n  Source    rise of particle rates between 185 and 290 degC, 10.1111/ina.12624, abstract\n", text);
        Assert.Contains("\n  See also  extrapolated, yield\n", text);
    }

    [Theory]
    [InlineData("graed", "did you mean 'grade'?")]
    [InlineData("plateu", "did you mean 'plateau'?")]
    [InlineData("dose", "did you mean 'start dose'")]
    [InlineData("burst", "did you mean 'start dose'")]
    public void An_unknown_term_offers_near_ones(string word, string offer)
    {
        var ended = FumecastProcess.Run("explain", word);
        Assert.Equal((2, ""), (ended.ExitCode, ended.Output));
        Assert.StartsWith($"fumecast: no term '{word}'; {offer}", ended.Error, StringComparison.Ordinal);
    }

    [Fact]
    public void A_word_like_nothing_leads_to_the_list()
    {
        var ended = FumecastProcess.Run("explain", "xyzzy");
        Assert.Equal((2, "", "fumecast: no term 'xyzzy' (all terms: fumecast explain)\n"), (ended.ExitCode, ended.Output, ended.Error));
    }

    [Fact]
    public void Each_word_belongs_to_one_term_and_neighbours_exist()
    {
        var words = Explanations.All.SelectMany(static term => term.Also.Append(term.Term)).ToArray();
        Assert.All(words, static word => Assert.NotNull(Explanations.Find(word)));
        Assert.Equal(words.Length, words.Select(static word => word.ToUpperInvariant()).Distinct().Count());
        foreach (var term in Explanations.All)
        {
            Assert.All(term.Also.Append(term.Term), word => Assert.Equal(term, Explanations.Find(word)));
            Assert.All(term.See, static neighbour => Assert.NotNull(Explanations.Find(neighbour)));
            Assert.False(term.Line.EndsWith('.'), term.Term);
        }
    }

    /// <summary>What is said of measured things has a source; a definition needs none.</summary>
    [Theory]
    [InlineData("grade")]
    [InlineData("interval")]
    [InlineData("particle number")]
    [InlineData("particle mass")]
    [InlineData("TVOC")]
    [InlineData("start dose")]
    [InlineData("nozzle's own share")]
    [InlineData("evenness grade")]
    [InlineData("air time")]
    [InlineData("plateau")]
    public void Terms_that_claim_something_have_a_source(string term) => Assert.NotNull(Explanations.Find(term)!.Source);

    [Fact]
    public void Every_term_that_an_output_points_to_exists()
    {
        using var jobs = new TrialJobs();
        var wall = jobs.Wall("wall.gcode", rounds: 60);
        var other = jobs.Wall("other.gcode", rounds: 30);
        string[][] commands =
        [
            ["estimate", wall, "--material", "pla"], ["evenness", wall, other, "--material", "pla"], ["compare", wall, "--material", "pla", "--nozzle", "200,240"],
            ["testprint", "--material", "petg", "--flow", "4", "--duration", "20min", "--out", jobs.In("t.gcode")],
            ["materials", "list"], ["materials", "show", "abs"], ["printers", "list"],
        ];
        foreach (var command in commands)
        {
            var ended = FumecastProcess.Run(command);
            var pointers = PointersIn(ended.Output + ended.Error).ToArray();
            Assert.True(pointers.Length > 0, string.Join(' ', command));
            Assert.All(pointers, static term => Assert.True(Explanations.Find(term) is not null, term));
        }
    }

    [Fact]
    public void Every_term_that_the_source_points_to_exists()
    {
        var terms = Directory.GetFiles(RepositoryRoot.Of("src"), "*.cs", SearchOption.AllDirectories)
            .SelectMany(static file => Regex.Matches(File.ReadAllText(file), @"Explanations\.See\(""([^""]*)""\)").Select(static match => match.Groups[1].Value))
            .Where(static term => term.Length > 0).Distinct().ToArray();
        Assert.InRange(terms.Length, 5, 100);
        Assert.All(terms, static term => Assert.True(Explanations.Find(term) is not null, term));
    }

    /// <summary>A pointer ends with a sign or with its line, since the page never breaks within it.</summary>
    private static IEnumerable<string> PointersIn(string text) =>
        Regex.Matches(text, @"fumecast explain ([A-Za-z][A-Za-z' -]*)").Select(static match => match.Groups[1].Value.Trim());
}
