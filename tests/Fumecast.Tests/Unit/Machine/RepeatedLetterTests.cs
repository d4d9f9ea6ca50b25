// SPDX-License-Identifier: MIT
using System.Globalization;
using Fumecast.GCode;
using Fumecast.Machine;

namespace Fumecast.Tests.Unit.Machine;

/// <summary>A letter that stands twice in a command: what a printer would print is not refused for it.</summary>
public class RepeatedLetterTests
{
    [Theory]
    [InlineData("M970.3 Q0 A7 B30 C90 Q0")]
    [InlineData("M970 Q1 Q1 Q1")]
    [InlineData("M7777 A1.2.3 A4")]
    [InlineData("M1002 X{later}")]
    [InlineData("M862 P1e5")]
    [InlineData("M73 P10 P11")]
    [InlineData("G999 X1 X2")]
    [InlineData("T0 X1 X2")]
    public void Words_of_a_command_that_plays_no_part_never_refuse_a_job(string line)
    {
        var run = Simulated.Run($"M83\n{line}\nG1 X10 E1 F600\n");
        Assert.Null(run.Log.FirstError);
        Assert.DoesNotContain(run.Log.Entries, entry => entry.Code == "repeated-letter" || (entry.ChangesResult && entry.Code != "unknown-command"));
        Close.To(1, run.DepositedMm, 1e-12);
    }

    [Theory]
    [InlineData(nameof(RepeatedLetterRule.Last), 3.0)]
    [InlineData(nameof(RepeatedLetterRule.First), 1.0)]
    public void The_dialect_says_which_one_counts_and_the_finding_says_so_once(string ruleName, double depositedMm)
    {
        var rule = Enum.Parse<RepeatedLetterRule>(ruleName);
        var run = Simulated.Run("M83\nG1 X10 E1 E3 F600\nG1 X10 X10\n", Simulated.With(d => d with { RepeatedLetter = rule }));
        Close.To(depositedMm, run.DepositedMm, 1e-12);
        var finding = Assert.Single(run.Log.Entries, entry => entry.Code == "repeated-letter");
        Assert.Equal((2, 11, 2, true), (finding.Line, finding.Column, finding.Count, finding.ChangesResult));
        Assert.Contains(rule == RepeatedLetterRule.Last ? "last" : "first", finding.Message, StringComparison.Ordinal);
        var choice = Assert.Single(run.Print.Choices, choice => choice.Setting == "a letter twice in a command");
        Assert.Equal(2, choice.Line);
    }

    [Fact]
    public void A_strict_dialect_refuses_it_with_its_place()
    {
        var run = Simulated.Run("M83\nG1 X10 E1 X3 F600\n", Simulated.With(d => d with { RepeatedLetter = RepeatedLetterRule.Refused }));
        Assert.Equal(("repeated-letter", 2L, 11), (run.Log.FirstError?.Code, run.Log.FirstError?.Line, run.Log.FirstError?.Column));
    }

    [Theory]
    [InlineData(nameof(RepeatedLetterRule.Last), 6.0)]
    [InlineData(nameof(RepeatedLetterRule.First), 5.0)]
    public void A_letter_with_and_without_a_number_follows_the_same_rule(string rule, double seconds) =>
        Close.To(seconds, Simulated.Run("G4 S5 S6\n", Simulated.With(d => d with { RepeatedLetter = Enum.Parse<RepeatedLetterRule>(rule) })).Print.DwellS, 1e-12);

    [Fact]
    public void The_word_after_such_a_line_is_read_as_ever()
    {
        var run = Simulated.Run("M83\nG1 X1 X2 E1 F600\nG1 X10 E2\n");
        Close.To(3, run.DepositedMm, 1e-12);
        Assert.Equal(1, run.Log.Entries.Single(entry => entry.Code == "repeated-letter").Count);
    }

    /// <summary>The list of commands whose words are read is whole: no other command does more with words than without.</summary>
    [Fact]
    public void A_command_whose_words_change_the_result_is_on_the_list()
    {
        const string words = "S200 R100 P1 T1 X20 Y20 Z1 E20 D2 F300 J0.05 K0.1 B5";
        for (var number = 0; number < 1100; number++)
        {
            foreach (var letter in "GM")
            {
                if (!WordsThatMatter.Of(letter, number))
                {
                    var name = string.Create(CultureInfo.InvariantCulture, $"{letter}{number}");
                    Assert.True(Result(name) == Result($"{name} {words}"), $"{name} reads its words");
                }
            }
        }

        static (double, double, double, double, string?) Result(string line)
        {
            var run = Simulated.Run($"M83\nM109 S210\nG1 X5 Y5 E1 F3000\n{line}\nG1 X50 Y5 E3\nG1 X50 Y50 E2\nG4 S1\n", options: new SimulationOptions { BinS = 100 });
            return (run.Print.TotalS, run.DepositedMm, run.Print.HeatingS, run.Print.Tools[0].Heat.MeanC, run.Log.FirstError?.Code);
        }
    }
}
